/** Practice with a simulated meter on a simulated board: watch the whole job, or be the hand. */
import { useState, type JSX } from 'react'
import { practiceOffered } from '../../src-core/board/revisions'
import type { CommandInput } from '../../src-core/contract'
import { useApp, useSession } from '../app/session'
import { BesideChoice } from './beside-choice'

/** @param above the board type chosen above; the same is practised on, unless another is chosen here. */
export const Practise = ({ above }: { above: { type: string; revision: string | null } | null }): JSX.Element => {
  const { call } = useSession()
  const boards = useApp((state) => state.library?.boards) ?? []
  const [chosen, setChosen] = useState<string | null>(null)
  const [beside, setBeside] = useState(false)
  const [busy, setBusy] = useState(false)
  const [fault, setFault] = useState<string | null>(null)
  const same = boards.filter(({ id }) => id === above?.type)
  const on = boards.find((one) => one.sha256 === chosen) ?? same.find(({ revision }) => revision === above?.revision) ?? same.at(-1) ?? practiceOffered(boards)
  const start = (by: NonNullable<CommandInput<'start-practice'>['by']>): void => {
    setBusy(true)
    setFault(null)
    call('start-practice', { ...(on === null ? {} : { board: on.id, revision: on.revision }), by, ...(beside ? { beside } : {}) })
      .catch((error: Error) => setFault(error.message))
      .finally(() => setBusy(false))
  }
  return (
    <section className="card practise" aria-label="Practise">
      <div className="form">
        <p>
          <b>No meter at hand?</b> A practice board with a hidden fault, on a simulated meter. Watch the whole job in a minute, or place the
          leads yourself and see how few touches it takes.
        </p>
        <label className="field">
          <span>On</span>
          <select data-testid="practice-board" value={on?.sha256 ?? ''} onChange={(event) => setChosen(event.target.value)}>
            {boards.map((one) => (
              <option key={one.sha256} value={one.sha256}>
                {one.name} rev {one.revision}
              </option>
            ))}
          </select>
        </label>
        <BesideChoice name="practise-beside" beside={beside} choose={setBeside} />
        {fault !== null && (
          <p className="form-fault" role="alert">
            {fault}
          </p>
        )}
        <div className="practise-acts">
          <button type="button" className="main-act second" data-testid="start-practice" disabled={busy} onClick={() => start('itself')}>
            Practise with no meter
          </button>
          <button type="button" className="main-act second" data-testid="practise-by-hand" disabled={busy} onClick={() => start('hand')}>
            Practise by hand
          </button>
        </div>
      </div>
    </section>
  )
}
