/** The steps of a run that is read: a line each, and what lies behind it on demand. */
import { ColumnTitles } from '../app/column-titles'
import type { JSX } from 'react'
import { Sign } from '../app/sign'
import { evidenceWords, notReachedWords, verdictWords, type VerdictShown } from '../app/words'
import type { DetailStep } from '../../src-core/run/detail-view'
import { StepBehind } from './step-behind'

type Props = { run: string; steps: readonly DetailStep[]; opened: ReadonlySet<string>; cursor: number; toggle: (id: string) => void; setCursor: (row: number) => void }

export const StepRows = ({ run, steps, opened, cursor, toggle, setCursor }: Props): JSX.Element => (
  <div className="run-rows">
    <table className="step-rows">
      <caption>Steps</caption>
      <thead>
        <tr>
          <ColumnTitles titles={['Step', 'Value', 'Limits', 'Verdict', 'Evidence']} />
        </tr>
      </thead>
      {steps.map((step, index) => (
        <Step key={step.id} run={run} step={step} here={index === cursor} open={opened.has(step.id)} toggle={() => toggle(step.id)} focused={() => setCursor(index)} />
      ))}
    </table>
  </div>
)

const shownVerdict = (step: DetailStep): VerdictShown | null => (step.skipReason !== null ? 'skipped' : step.verdict)

const Step = ({ run, step, here, open, toggle, focused }: { run: string; step: DetailStep; here: boolean; open: boolean; toggle: () => void; focused: () => void }): JSX.Element => {
  const standing = step.values.find((value) => value.standing)
  const earlier = step.values.filter((value) => !value.standing)
  const verdict = shownVerdict(step)
  return (
    <tbody data-testid="detail-step" data-step={step.id} className={here ? 'run-here' : undefined}>
      <tr onFocus={focused}>
        <th scope="row">
          <button type="button" className="step-opener" aria-expanded={open} tabIndex={here ? 0 : -1} onClick={toggle}>
            <svg className="opener-sign" viewBox="0 0 12 12" aria-hidden="true">
              <path d={open ? 'M2 4l4 4 4-4' : 'M4 2l4 4-4 4'} />
            </svg>
            {step.title}
          </button>
          {step.preparation && <span className="aside"> preparation</span>}
        </th>
        <td>
          <b className="figures" data-testid="detail-value">
            {standing?.words ?? step.watched ?? step.done ?? ''}
          </b>{' '}
          {standing !== undefined && <span className="aside figures">{standing.uncertainty.replace(/ \(.*/, '')}</span>}
          {earlier.length > 0 && (
            <span className="aside figures earlier-values">
              {' '}
              earlier {earlier.map(({ words }) => words).join(', ')}
            </span>
          )}
        </td>
        <td className="figures">{step.limits}</td>
        <td>
          {verdict === null ? (
            <span className="aside">{notReachedWords}</span>
          ) : (
            <span className={`verdict-word verdict-${verdict}`}>
              <Sign name={verdict} />
              {verdictWords[verdict]}
            </span>
          )}
        </td>
        <td>{standing === undefined ? '' : evidenceWords[standing.evidence]}</td>
      </tr>
      {(step.skipReason !== null || step.notes.length > 0) && (
        <tr className="step-said">
          <td colSpan={5}>
            {step.skipReason !== null && <p data-testid="detail-skip">Skipped because: {step.skipReason}</p>}
            {step.notes.map((text, index) => (
              <p key={index} data-testid="detail-note">
                Note: {text}
              </p>
            ))}
          </td>
        </tr>
      )}
      {open && (
        <tr className="step-behind">
          <td colSpan={5}>
            <StepBehind run={run} step={step} />
          </td>
        </tr>
      )}
    </tbody>
  )
}
