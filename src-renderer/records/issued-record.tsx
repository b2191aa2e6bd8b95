/** One record that was issued: its number, its hash, and the files to save, of it alone or of its whole job. */
import type { JSX } from 'react'
import { Sign } from '../app/sign'
import { claimInWords } from '../../src-core/record/claim-words'
import type { PaperName, RecordEntry } from '../../src-core/record/commands'
import { SaveRecord } from './save-record'

export const IssuedRecord = ({ record, paper, away }: { record: RecordEntry; paper: PaperName; away: boolean }): JSX.Element => (
  <section className="card issued-record" aria-label={`Record ${record.number}`} data-testid="issued-record">
    <p className={record.replacedBy === null ? 'verdict-pass' : ''}>
      <Sign name={record.replacedBy === null ? 'pass' : 'warn'} /> <b data-testid="record-number">{record.number}</b>{' '}
      {record.replacedBy === null ? 'signed' : `was replaced by ${record.replacedBy}`}
      {record.replaces !== null && `, stands in for ${record.replaces}`}. {claimInWords(record.traceable, record.traceableIn ?? null)}
    </p>
    <p className="aside">
      SHA-256 <code className="record-hash">{record.sha256}</code>
    </p>
    <SaveRecord record={record} paper={paper} away={away} />
  </section>
)
