/** Under the board's picture: the likely faults, how the parts stand, and, asked for, why the next placement. One quiet strip. */
import { useId, type JSX } from 'react'
import { isFailedWithoutFault, likelyInWords, type DiagnosisView } from '../../src-core/run/diagnosis-view'
import { Sign } from '../app/sign'
import { ReportSwatch, reportWords, type Report } from './report-swatch'

const reports: readonly Report[] = ['faulty', 'masked', 'unprobed', 'good']

type Props = {
  diagnosis: DiagnosisView
  /** Whether a step of the run failed. */
  failed: boolean
  /** While a run goes on: whether it is shown why the next placement, whether that is asked for just now, and the key that offers it. */
  why?: { shown: boolean; ask: () => void; away: boolean; asked: boolean; offeredBy: string | null }
}

export const LikelyStrip = ({ diagnosis, failed, why }: Props): JSX.Element => {
  const shown = isFailedWithoutFault(failed, diagnosis) ? { ...diagnosis, enough: null } : diagnosis
  if (diagnosis.problem !== null) return <p className="likely-strip line-problem" role="status"><Sign name="warn" /> {diagnosis.problem}</p>
  return (
    <div className="likely-strip" role="group" aria-label="Likely faults" data-testid="likely">
      <ol className="likely">
        {diagnosis.readings === 0 && <li className="aside">Nothing is measured yet.</li>}
        {diagnosis.readings > 0 && diagnosis.likely.slice(0, 3).map((line) => {
          const { words, chance } = likelyInWords(line, failed)
          return (
            <li key={line.number}>
              <span className="likely-number">{line.number}</span>
              <span className="likely-words" title={line.alike.length === 0 ? words : line.alike.join('; or ')}>{words}</span> <span className="aside">{chance}</span>
            </li>
          )
        })}
      </ol>
      <div className="likely-foot">
        <Legend diagnosis={shown} />
        {why !== undefined && (
          <button type="button" className="key" data-testid="ask-why" disabled={why.away} aria-expanded={why.shown} onClick={why.ask}>
            <kbd>W</kbd>{why.shown ? 'hide why' : 'why?'}
          </button>
        )}
      </div>
      {why?.shown === true && <Why diagnosis={shown} asked={why.asked} offeredBy={why.offeredBy} />}
    </div>
  )
}

const Legend = ({ diagnosis: { parts, readings, enough } }: { diagnosis: DiagnosisView }): JSX.Element => {
  const id = useId()
  return (
    <ul className="legend" aria-label="How the parts stand">
      {reports.map((report) => {
        const count = parts.filter((part) => part.report === report).length
        return count === 0 ? null : (
          <li key={report}><ReportSwatch id={`${id}${report}`} report={report} /> {count} {reportWords[report]}</li>
        )
      })}
      <li>from {readings} {readings === 1 ? 'reading' : 'readings'}</li>
      {enough !== null && <li data-testid="sure-enough" title={enough}><Sign name="pass" /> sure enough: nothing more need be measured in circuit</li>}
    </ul>
  )
}

const Why = ({ diagnosis: { next: [first], enough }, asked, offeredBy }: { diagnosis: DiagnosisView; asked: boolean; offeredBy: string | null }): JSX.Element => (
  <p className="why" role="status" data-testid="why">
    {enough !== null && <b>{enough} </b>}
    {first === undefined ? enough === null && 'No step that is left would tell enough more to repay its effort.' : <><b>{asked ? 'This step tells most.' : `${enough === null ? 'What would tell most' : 'What would still tell more'}: ${first.words}.`}</b> {first.why}{offeredBy !== null && !asked && ` Key ${offeredBy} offers it.`}</>}
  </p>
)
