/** A new entry of the repair log: part, what was done, what was put in and from where, by whom, with photographs. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'
import { Sign } from '../app/sign'
import type { Photograph, RepairAction } from '../../src-core/repair/entry'
import { repairActions } from '../../src-core/repair/entry'
import { actionInWords } from '../../src-core/repair/entry-words'
import { partInQuestion, type RepairView } from '../../src-core/repair/view'
import { FittedFields, fittedOf, noPart, type Typed } from './fitted-fields'
import { PhotographField } from './photograph-field'

type Props = { view: RepairView; /** Faulty by the diagnosis, the worst first. */ faulty: readonly string[]; away: boolean; logged: (view: RepairView) => void }

export const EntryForm = ({ view, faulty, away, logged }: Props): JSX.Element => {
  const { call } = useSession()
  const [ref, setRef] = useState(partInQuestion(view, faulty) ?? '')
  const [action, setAction] = useState<RepairAction>('replaced')
  const [pin, setPin] = useState('')
  const [to, setTo] = useState('')
  const [typed, setTyped] = useState<Typed>(noPart)
  const [by, setBy] = useState(view.entries.at(-1)?.by ?? view.before.at(-1)?.by ?? '')
  const [note, setNote] = useState('')
  const [photographs, setPhotographs] = useState<Photograph[]>([])
  const [fault, setFault] = useState<string | null>(null)
  const part = view.parts.find((one) => one.ref === ref)
  const hasLeg = action === 'lifted' || action === 'resoldered'

  const submit = (): void => {
    const fitted = action === 'replaced' ? fittedOf(typed) : null
    if (fitted !== null && 'fault' in fitted) {
      setFault(fitted.fault)
      return
    }
    call('log-repair', { run: view.run, entry: { part: ref, pin: hasLeg && pin !== '' ? pin : null, action, to: action === 'moved' ? to.trim() || null : null, fitted, by: by.trim(), note: note.trim(), photographs } })
      .then(logged, (error: Error) => setFault(error.message))
  }

  return (
    <section className="card" aria-labelledby="log-repair">
      <h2 id="log-repair">Log what you did</h2>
      <form className="form" onSubmit={(event) => {
        event.preventDefault()
        submit()
      }}>
        <div className="row">
          <label className="field small">
            <span>Part</span>
            <select data-testid="repair-part" value={ref} required onChange={(event) => {
              setRef(event.target.value)
              setPin('')
            }}>
              {ref === '' && <option value="">choose the part</option>}
              {view.parts.map((one) => (
                <option key={one.ref} value={one.ref}>{one.ref}, {one.what}</option>
              ))}
            </select>
          </label>
          <label className="field small">
            <span>was</span>
            <select data-testid="repair-action" value={action} onChange={(event) => setAction(repairActions.find((one) => one === event.target.value) ?? 'replaced')}>
              {repairActions.map((one) => (
                <option key={one} value={one}>{actionInWords(one)}</option>
              ))}
            </select>
          </label>
          {hasLeg && (
            <label className="field small">
              <span>Leg</span>
              <select data-testid="repair-pin" value={pin} onChange={(event) => setPin(event.target.value)}>
                <option value="">{action === 'lifted' ? 'choose' : 'the whole part'}</option>
                {part?.pins.map((one) => (
                  <option key={one.pin} value={one.pin}>{one.words}</option>
                ))}
              </select>
            </label>
          )}
        </div>
        {part !== undefined && part.known !== '' && <p className="aside">{part.ref} as fitted: {part.known}</p>}
        {action === 'moved' && (
          <label className="field">
            <span>To the pad</span>
            <input data-testid="repair-to" value={to} maxLength={80} onChange={(event) => setTo(event.target.value)} />
          </label>
        )}
        {action === 'replaced' && part !== undefined && <FittedFields view={view} part={part} typed={typed} change={setTyped} away={away} />}
        <PhotographField taken={photographs} change={setPhotographs} fault={setFault} away={away} />
        <label className="field">
          <span>Note</span>
          <input data-testid="repair-note" value={note} maxLength={500} onChange={(event) => setNote(event.target.value)} />
        </label>
        <label className="field">
          <span>Who</span>
          <input data-testid="repair-by" value={by} maxLength={80} onChange={(event) => setBy(event.target.value)} />
        </label>
        {fault !== null && (
          <p className="form-fault" role="alert" data-testid="repair-fault">
            <Sign name="warn" /> {fault}
          </p>
        )}
        <button type="submit" className="main-act" data-testid="log-it" disabled={away || ref === '' || by.trim() === ''}>
          log it
        </button>
      </form>
    </section>
  )
}
