/** How the work ends: repaired, no fault found, beyond repair, or returned as it is; what still stands against it is named. */
import { useEffect, useRef, useState, type JSX } from 'react'
import { useSession } from '../app/session'
import { Sign } from '../app/sign'
import { timeWords } from '../app/words'
import { saveExport } from '../records/export-line'
import type { Closing } from '../../src-core/repair/entry'
import type { RepairView } from '../../src-core/repair/view'

const closingWords: Record<Closing, string> = { repaired: 'repaired', 'no-fault-found': 'no fault found', 'beyond-repair': 'beyond repair', returned: 'returned as it is' }

export const CloseBoard = ({ view, away, closed }: { view: RepairView; away: boolean; closed: (view: RepairView) => void }): JSX.Element => {
  const { call, say } = useSession()
  const [as, setAs] = useState<Closing>('repaired')
  const [because, setBecause] = useState('')
  const [by, setBy] = useState(view.entries.at(-1)?.by ?? view.before.at(-1)?.by ?? '')
  const [now, setNow] = useState(false)
  if (view.closed !== null) return <Closed view={view} away={away} now={now} />
  const chosen = view.closings.find((one) => one.as === as)
  const refusal = chosen?.refusal ?? null
  const needsWhy = (chosen?.ground ?? '') === ''
  const close = (): void => {
    call('close-board', { run: view.run, as, because: because.trim(), by: by.trim() }).then((told) => {
      setNow(true)
      closed(told)
    }, (error: Error) => say(error.message, 'problem'))
  }
  return (
    <section className="card" aria-labelledby="close-board">
      <h2 id="close-board">Close the board</h2>
      <form className="form" onSubmit={(event) => {
        event.preventDefault()
        close()
      }}>
        <fieldset className="choices">
          <legend>As</legend>
          {view.closings.map((one) => (
            <label key={one.as} className="choice">
              <input type="radio" name="close-as" data-testid={`close-as-${one.as}`} checked={as === one.as} onChange={() => setAs(one.as)} />
              <span>{closingWords[one.as]}</span>
            </label>
          ))}
        </fieldset>
        {refusal !== null ? (
          <p className="form-fault" role="alert" data-testid="close-refused">
            <Sign name="warn" /> {refusal}
          </p>
        ) : (
          <>
            {chosen?.ground !== '' && <p className="aside">{chosen?.ground}</p>}
            <label className="field">
              <span>{needsWhy ? 'Why' : 'To be added'}</span>
              <input data-testid="close-because" value={because} maxLength={1000} onChange={(event) => setBecause(event.target.value)} />
            </label>
            <label className="field">
              <span>Who</span>
              <input data-testid="close-by" value={by} maxLength={80} onChange={(event) => setBy(event.target.value)} />
            </label>
          </>
        )}
        <button type="submit" className="main-act" data-testid="close-board" disabled={away || refusal !== null || by.trim() === '' || (needsWhy && because.trim() === '')}>
          close as {closingWords[as]}
        </button>
      </form>
    </section>
  )
}

const Closed = ({ view, away, now }: { view: RepairView; away: boolean; /** It was closed just now, on this screen. */ now: boolean }): JSX.Element => {
  const notice = useRef<HTMLElement>(null)
  const title = useRef<HTMLHeadingElement>(null)
  // The form that was below is gone, and the page with it: the notice comes into view, and is read out.
  useEffect(() => {
    if (!now) return
    title.current?.focus({ preventScroll: true })
    notice.current?.scrollIntoView({ block: 'center' })
  }, [now])
  const { call, say } = useSession()
  const { closed } = view
  const save = (): void => {
    call('board-report', { run: view.run }).then(({ path, name }) => {
      saveExport(path, name)
      say(`${name} is being saved.`, 'note')
    }, (error: Error) => say(error.message, 'problem'))
  }
  return (
    <section className="card" aria-labelledby="board-closed" ref={notice}>
      <h2 ref={title} tabIndex={-1} id="board-closed" data-testid="board-closed" data-as={closed?.as}>
        Closed: {closed === null ? '' : closingWords[closed.as]}
      </h2>
      <p>{closed?.because}</p>
      <p className="aside">{closed === null ? '' : `${timeWords(closed.utc)}, ${closed.by}`}</p>
      <button type="button" className="main-act second" data-testid="board-report" disabled={away} onClick={save}>
        save the report, one page
      </button>
    </section>
  )
}
