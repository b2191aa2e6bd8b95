/** The scale: the limits as a window, the value as a mark, where a short and an open would be, and what a good board and each likely fault would read. */
import type { JSX } from 'react'
import type { DiagnosisView } from '../../src-core/run/diagnosis-view'
import type { BenchView } from '../../src-core/run/view'

type Marks = DiagnosisView['expected'][number]['marks']
type ScaleView = NonNullable<NonNullable<BenchView['step']>['scale']>

const percent = (place: number): string => `${Math.min(1, Math.max(0, place)) * 100}%`

type Props = { scale: ScaleView | null; limits: string; /** What they are called. */ are: 'limits' | NonNullable<NonNullable<BenchView['step']>['limitsAre']>; mark: number | null; /** What would be read here. */ expected: Marks }

export const Scale = ({ scale, limits, are, mark, expected }: Props): JSX.Element => {
  const middle = scale === null ? 0 : Math.min(1, Math.max(0, (scale.window.from + scale.window.to) / 2))
  return (
    <div className="scale">
      {scale !== null && expected.length > 0 && <Expected marks={expected} />}
      {scale !== null && (
        <div className="scale-axis" aria-hidden="true">
          <span className="scale-bar" />
          <span
            className={`scale-window${scale.window.from <= 0 ? ' from-end' : ''}${scale.window.to >= 1 ? ' to-end' : ''}`}
            style={{ left: percent(scale.window.from), width: percent(scale.window.to - scale.window.from) }}
          />
          {scale.short !== null && <span className="scale-place" style={{ left: percent(scale.short) }} />}
          {scale.open !== null && <span className="scale-place" style={{ left: percent(scale.open) }} />}
          {mark !== null && <span className="scale-mark" style={{ left: percent(mark) }} />}
        </div>
      )}
      <div className="scale-words">
        <span className="scale-end">{scale?.short != null ? 'short' : ''}</span>
        <span className="scale-before" style={{ flexGrow: Math.max(0.001, middle) }} />
        <span className="limits" data-testid="limits"><span className="aside">{are} </span>{limits}</span>
        <span className="scale-after" style={{ flexGrow: Math.max(0.001, 1 - middle) }} />
        <span className="scale-end">{scale?.open != null ? 'open' : ''}</span>
      </div>
    </div>
  )
}

const Expected = ({ marks }: { marks: Marks }): JSX.Element => (
  <ul className="scale-expected" aria-label="What would be read here" data-testid="expected">
    {marks.map(({ at, who, words }) => (
      <li key={who} style={{ left: percent(at) }} title={`${who}: ${words}`}>
        <span className="unseen">{words} if </span>{who}
      </li>
    ))}
  </ul>
)
