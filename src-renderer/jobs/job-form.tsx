/** A new job, or more boards for one: what it is, and its serial numbers as they are typed, scanned or pasted. */
import { useState, type JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'
import type { JobView } from '../../src-core/shop/job'
import { serialsIn } from '../../src-core/shop/job'

type Props = { /** More boards for this one; null: a new job. */ addTo: JobView | null; away: boolean; made: (view: JobView) => void; close: () => void }

export const JobForm = ({ addTo, away, made, close }: Props): JSX.Element => {
  const { call } = useSession()
  const boards = useApp((state) => state.library?.boards) ?? []
  const [typed, setTyped] = useState({ name: '', customer: '', received: '', conditionAsReceived: '', serials: '' })
  const [of, setOf] = useState<string | null>(null)
  const [fault, setFault] = useState<string | null>(null)
  const take = (part: Partial<typeof typed>): void => {
    setFault(null)
    setTyped({ ...typed, ...part })
  }
  const board = boards.find(({ id, revision }) => `${id} ${revision}` === of) ?? boards[0]
  const count = serialsIn(typed.serials).serials.length
  const submit = (): void => {
    if (board === undefined) return
    const batch = { board: board.id, revision: board.revision, serials: typed.serials }
    const { name, customer, received, conditionAsReceived } = typed
    const asked = addTo === null ? call('open-job', { name, customer, received: received === '' ? null : received, conditionAsReceived, ...batch }) : call('add-to-job', { job: addTo.id, ...batch })
    asked.then(made, (error: Error) => setFault(error.message))
  }
  return (
    <form
      className="form wide job-form"
      aria-label={addTo === null ? 'A new job' : `More boards for ${addTo.name}`}
      onSubmit={(event) => {
        event.preventDefault()
        submit()
      }}
    >
      {addTo === null && (
        <>
          <label className="field">
            <span>Job</span>
            <input data-testid="job-name" value={typed.name} maxLength={80} required autoComplete="off" placeholder="your number or name for it" onChange={(event) => take({ name: event.target.value })} />
          </label>
          <label className="field">
            <span>Customer</span>
            <input data-testid="job-customer" value={typed.customer} maxLength={200} autoComplete="off" placeholder="may stay empty" onChange={(event) => take({ customer: event.target.value })} />
          </label>
          <label className="field">
            <span>Received</span>
            <input type="date" value={typed.received} onChange={(event) => take({ received: event.target.value })} />
          </label>
          <label className="field">
            <span>Condition</span>
            <textarea rows={2} value={typed.conditionAsReceived} maxLength={1000} placeholder="as received; offered on the record of each board" onChange={(event) => take({ conditionAsReceived: event.target.value })} />
          </label>
        </>
      )}
      <label className="field">
        <span>Board type</span>
        <select data-testid="job-board" value={board === undefined ? '' : `${board.id} ${board.revision}`} onChange={(event) => setOf(event.target.value)}>
          {boards.map(({ id, revision, name }) => (
            <option key={`${id} ${revision}`} value={`${id} ${revision}`}>
              {name} rev {revision}
            </option>
          ))}
        </select>
      </label>
      <label className="field">
        <span>Serial numbers</span>
        <textarea data-testid="job-serials" rows={6} value={typed.serials} placeholder="typed, scanned or pasted, one a line" spellCheck={false} onChange={(event) => take({ serials: event.target.value })} />
      </label>
      {fault !== null && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> {fault}
        </p>
      )}
      <div className="save-line">
        <button type="submit" className="main-act" data-testid="job-save" disabled={away || board === undefined}>
          {addTo === null ? 'Open the job' : 'Add them'}
        </button>
        <button type="button" className="quiet-act" onClick={close}>
          Do not
        </button>
        <span role="status" className="aside">
          {count === 0 ? '' : count === 1 ? 'one board' : `${count} boards`}
        </span>
      </div>
    </form>
  )
}
