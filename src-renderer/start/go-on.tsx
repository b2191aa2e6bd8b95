/** Offers the last unfinished run where it stood. */
import type { JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { serialWords, timeWords } from '../app/words'

export const GoOn = (): JSX.Element | null => {
  const { order } = useSession()
  const last = useApp((state) => state.runs.goOn)
  if (last === null) return null
  return (
    <section className="card go-on" aria-label="Go on with the last run">
      <p>
        <b>{last.name}</b> rev {last.revision}, {serialWords(last.serialNumber)}
        {last.practice && (
          <>
            {' '}
            <span className="badge practice">practice</span>
          </>
        )}
        <span className="aside">
          {' '}
          begun {timeWords(last.startedUtc)}, {last.values === 1 ? '1 value' : `${last.values} values`} so far. It goes on where it stood;
          that the board is de-energised is asked again.
        </span>
      </p>
      <button type="button" className="main-act" data-testid="go-on" onClick={() => order('open-run', { run: last.run })}>
        Go on
      </button>
    </section>
  )
}
