/** One press to see the whole job with a simulated meter on a simulated board. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'

export const Practise = (): JSX.Element => {
  const { call } = useSession()
  const [busy, setBusy] = useState(false)
  const [fault, setFault] = useState<string | null>(null)
  const start = (): void => {
    setBusy(true)
    setFault(null)
    call('start-practice', {})
      .catch((error: Error) => setFault(error.message))
      .finally(() => setBusy(false))
  }
  return (
    <section className="card practise" aria-label="Practise">
      <div>
        <p>
          <b>No meter at hand?</b> A practice meter measures a practice board with a hidden fault, by itself. Watch the whole job in a
          minute.
        </p>
        {fault !== null && (
          <p className="form-fault" role="alert">
            {fault}
          </p>
        )}
      </div>
      <button type="button" className="main-act second" data-testid="start-practice" disabled={busy} onClick={start}>
        Practise with no meter
      </button>
    </section>
  )
}
