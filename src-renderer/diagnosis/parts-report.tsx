/** What the readings say of each part, and what would tell more: with the result of a run. */
import { useId, type JSX } from 'react'
import { failedWithoutFault, readsTheSame, type DiagnosisView, type PartReportView } from '../../src-core/run/diagnosis-view'
import { Sign } from '../app/sign'
import { ReportSwatch, reportWords, type Report } from './report-swatch'

const inFull: readonly Report[] = ['faulty', 'masked']
const asList: readonly Report[] = ['unprobed', 'good']

/** @param failed what failed in the run, where it is over. */
export const PartsReport = ({ diagnosis, failed }: { diagnosis: DiagnosisView; failed: readonly { title: string }[] }): JSX.Element => {
  if (diagnosis.problem !== null) return <p role="status"><Sign name="warn" /> {diagnosis.problem}</p>
  const noPart = failedWithoutFault(failed, diagnosis)
  const together = readsTheSame(diagnosis)
  const of = (report: Report): PartReportView[] => diagnosis.parts.filter((part) => part.report === report)
  return (
    <section className="parts-report" aria-label="What the readings say of each part" data-testid="parts-report">
      <h2>What the readings say of each part</h2>
      {noPart !== null && <p data-testid="no-part-at-fault">{noPart}</p>}
      {together !== null && <p data-testid="reads-the-same">{together}</p>}
      <ul>
        {inFull.flatMap(of).map((part) => <Told key={part.ref} part={part} />)}
        {asList.map((report) => {
          const parts = of(report)
          return parts.length === 0 ? null : <Listed key={report} report={report} parts={parts} />
        })}
      </ul>
      {diagnosis.likely.length > 1 && (
        <p className="aside">
          Taken together: {diagnosis.likely.map(({ words, chance }) => `${words} (${chance})`).join('; ')}.
        </p>
      )}
      {diagnosis.next.length > 0 && (
        <>
          <h2>What would tell more</h2>
          <ul>{diagnosis.next.slice(0, 3).map(({ words, why }) => <li key={words}><b>{words}</b> <span className="aside">{why}</span></li>)}</ul>
        </>
      )}
      {diagnosis.notes.map((note) => <p key={note} className="aside">{note}</p>)}
    </section>
  )
}

const Told = ({ part: { ref, report, chance, says } }: { part: PartReportView }): JSX.Element => {
  const id = useId()
  return (
    <li data-part={ref} data-report={report}>
      <ReportSwatch id={id} report={report} /> <b>{ref}</b> {reportWords[report]}{report === 'faulty' ? `, ${chance}` : ''}. {says}
    </li>
  )
}

const Listed = ({ report, parts }: { report: Report; parts: PartReportView[] }): JSX.Element => {
  const id = useId()
  return (
    <li data-report={report}>
      <ReportSwatch id={id} report={report} /> <b>{reportWords[report]}</b>{report === 'unprobed' ? ', the readings tell too little of them' : ''}: {parts.map(({ ref, chance }) => (report === 'unprobed' && chance !== 'under 1 %' ? `${ref} (${chance} faulty)` : ref)).join(', ')}
    </li>
  )
}
