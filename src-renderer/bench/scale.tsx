/** The scale: the limits as a window, the value as a mark, and where a short and an open would be. */
import type { JSX } from 'react'
import type { BenchView } from '../../src-core/run/view'

type ScaleView = NonNullable<NonNullable<BenchView['step']>['scale']>

const percent = (place: number): string => `${Math.min(1, Math.max(0, place)) * 100}%`

export const Scale = ({ scale, limits, mark }: { scale: ScaleView | null; limits: string; mark: number | null }): JSX.Element => {
  const middle = scale === null ? 0 : Math.min(1, Math.max(0, (scale.window.from + scale.window.to) / 2))
  return (
    <div className="scale">
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
        <span className="limits" data-testid="limits"><span className="aside">limits </span>{limits}</span>
        <span className="scale-after" style={{ flexGrow: Math.max(0.001, 1 - middle) }} />
        <span className="scale-end">{scale?.open != null ? 'open' : ''}</span>
      </div>
    </div>
  )
}
