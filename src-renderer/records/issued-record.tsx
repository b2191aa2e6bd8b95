/** One record that was issued: its number, its hash, and the file to save. */
import type { JSX } from 'react'
import { useSession } from '../app/session'
import { Sign } from '../app/sign'
import type { RecordEntry } from '../../src-core/record/commands'
import { saveExport } from './export-line'

export const IssuedRecord = ({ record, away }: { record: RecordEntry; away: boolean }): JSX.Element => {
  const { call, say } = useSession()
  const download = (ofJob: boolean): void => {
    const what = ofJob && record.job !== null ? { ofJob: { customer: record.customer, job: record.job } } : { numbers: [record.number] }
    call('export-records', { ...what, as: 'json' }).then(
      ({ path, name }) => {
        saveExport(path, name)
        say(`${name} is being saved.`, 'note')
      },
      (error: Error) => say(error.message, 'problem'),
    )
  }
  return (
    <section className="card issued-record" aria-label={`Record ${record.number}`} data-testid="issued-record">
      <p className={record.replacedBy === null ? 'verdict-pass' : ''}>
        <Sign name={record.replacedBy === null ? 'pass' : 'warn'} /> <b data-testid="record-number">{record.number}</b>{' '}
        {record.replacedBy === null ? 'signed' : `was replaced by ${record.replacedBy}`}
        {record.replaces !== null && `, stands in for ${record.replaces}`}. {record.traceable ? 'It claims traceable values.' : 'It claims no traceability.'}
      </p>
      <p className="aside">
        SHA-256 <code className="record-hash">{record.sha256}</code>
      </p>
      <p className="save-line">
        <button type="button" className="main-act second" data-testid="save-record" disabled={away} onClick={() => download(false)}>
          Save as JSON
        </button>
        {record.job !== null && (
          <button type="button" className="quiet-act" data-testid="save-job" disabled={away} onClick={() => download(true)}>
            the whole job {record.job}
          </button>
        )}
      </p>
    </section>
  )
}
