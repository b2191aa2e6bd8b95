/** Saves a record, or its whole job, as PDF, table or JSON; the paper that was chosen last is offered again. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'
import type { PaperName, RecordEntry, RecordExportKind } from '../../src-core/record/commands'
import { saveExport } from './export-line'

const kinds: readonly [RecordExportKind, string][] = [['pdf', 'PDF'], ['csv', 'table (CSV)'], ['json', 'JSON']]

export const SaveRecord = ({ record, paper: last, away }: { record: RecordEntry; paper: PaperName; away: boolean }): JSX.Element => {
  const { call, say } = useSession()
  const [paper, setPaper] = useState<PaperName>(last)
  const [budgets, setBudgets] = useState(false)
  const [making, setMaking] = useState(false)
  const save = (as: RecordExportKind, ofJob: boolean): void => {
    const what = ofJob && record.job !== null ? { ofJob: { customer: record.customer, job: record.job } } : { numbers: [record.number] }
    setMaking(true)
    call('export-records', { ...what, as, ...(as === 'pdf' ? { paper, budgets } : {}) }).then(
      ({ path, name }) => {
        saveExport(path, name)
        say(`${name} is being saved.`, 'note')
      },
      (error: Error) => say(error.message, 'problem'),
    ).finally(() => setMaking(false))
  }
  const line = (ofJob: boolean): JSX.Element => (
    <p className="save-line" role="group" aria-label={ofJob ? `Save the whole job ${record.job ?? ''}` : `Save record ${record.number}`}>
      <span className="save-what">{ofJob ? `Whole job ${record.job ?? ''}` : 'Save as'}</span>
      {kinds.map(([as, words]) => (
        <button key={as} type="button" className="key boxed" data-testid={`save-${ofJob ? 'job' : 'record'}${as === 'json' ? '' : `-${as}`}`} disabled={away || making} onClick={() => save(as, ofJob)}>
          {words}
        </button>
      ))}
    </p>
  )
  return (
    <>
      {line(false)}
      {record.job !== null && line(true)}
      <p className="save-line">
        <label>
          Paper of the PDF{' '}
          <select data-testid="paper" value={paper} onChange={(event) => setPaper(event.target.value === 'letter' ? 'letter' : 'a4')}>
            <option value="a4">A4</option>
            <option value="letter">Letter</option>
          </select>
        </label>
        <label>
          <input type="checkbox" data-testid="budgets" checked={budgets} onChange={() => setBudgets(!budgets)} /> with uncertainty budgets
        </label>
        {making && <span role="status">Making the file …</span>}
      </p>
    </>
  )
}
