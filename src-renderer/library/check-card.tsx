/** The checks of a meter: whether its values are traceable now, the check to be made, its history, and the runs under review. */
import { useState, type JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { serialWords, timeWords } from '../app/words'
import type { Meter } from '../../src-core/meter/instrument'
import type { CheckResult } from '../../src-core/metrology/check-standards'
import type { RunEntry } from '../../src-core/run/run-list'
import { traceabilityInWords } from '../../src-core/run/traceability-words'
import { RunVerdictWord } from '../records/run-table'
import { ControlChart } from './control-chart'
import { BenchRunButton } from './bench-run-button'
import { useCheckHistory, type CheckHistory } from './use-check-history'

/** A chart for each standard that was ever used, the one used last first. */
const byStandard = (checks: readonly CheckResult[]): CheckResult[][] => {
  const groups = new Map<string, CheckResult[]>()
  for (const check of checks) {
    const name = `${check.standard.kind} ${check.standard.label}`
    groups.set(name, [...(groups.get(name) ?? []), check])
  }
  return [...groups.values()].sort((a, b) => ((a.at(-1)?.utc ?? '') < (b.at(-1)?.utc ?? '') ? 1 : -1))
}

const Review = ({ review }: { review: CheckHistory['review'] }): JSX.Element => {
  const { call } = useSession()
  const [fault, setFault] = useState<string | null>(null)
  const open = ({ run }: RunEntry): void => {
    setFault(null)
    call('open-run', { run }).catch((error: Error) => setFault(error.message))
  }
  return (
    <section aria-labelledby="review-title" data-testid="under-review">
      <h3 id="review-title">Under review: {review.total === 1 ? '1 run' : `${review.total} runs`}</h3>
      <p className="aside">A check failed after these: this meter is not known to have been good when they were made.</p>
      {fault !== null && (
        <p className="form-fault" role="alert">
          {fault}
        </p>
      )}
      <ul className="side-list">
        {review.runs.map((run) => (
          <li key={run.run}>
            <button type="button" className="side-item" onClick={() => open(run)}>
              <span>
                {run.name}, {serialWords(run.serialNumber)}
              </span>
              <span className="aside">{timeWords(run.startedUtc)}</span>
              <RunVerdictWord verdict={run.verdict} />
            </button>
          </li>
        ))}
      </ul>
      {review.total > review.runs.length && <p className="aside">The newest {review.runs.length} are shown. The others are in Records.</p>}
    </section>
  )
}

export const CheckCard = ({ meter }: { meter: Meter }): JSX.Element => {
  const connected = useApp((state) => state.link.meter) === meter.id
  const history = useCheckHistory(meter.id)
  return (
    <section className="card check-card" aria-labelledby="checks-title" data-testid="check-card">
      <h2 id="checks-title">Check against standards</h2>
      {typeof history === 'string' && (
        <p className="form-fault" role="alert">
          {history}
        </p>
      )}
      {history !== null && typeof history !== 'string' && (
        <p className={history.traceability.traceable ? 'check-state check-yes' : 'check-state check-no'} role="status" data-testid="traceability">
          <Sign name={history.traceability.traceable ? 'pass' : 'warn'} />
          <span>{traceabilityInWords(history.traceability)}</span>
        </p>
      )}
      <BenchRunButton command="check-meter" words="Check now" connected={connected} />
      {history !== null && typeof history !== 'string' && (
        <>
          {history.checks.length === 0 && <p className="aside">No check yet. The check resistor and the check diode, entered below under “Check standards”, are measured after the leads.</p>}
          {byStandard(history.checks).map((checks) => (
            <ControlChart key={checks[0]?.id ?? ''} checks={checks} />
          ))}
          {history.review.total > 0 && <Review review={history.review} />}
        </>
      )}
    </section>
  )
}
