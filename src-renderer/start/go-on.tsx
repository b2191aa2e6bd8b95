/** Offers the last unfinished run where it stood. */
import type { JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { serialWords, timeWords } from '../app/words'

export const GoOn = (): JSX.Element | null => {
  const { order } = useSession()
  const runs = useApp((state) => state.runs)
  const bench = useApp((state) => state.bench)
  const boards = useApp((state) => state.library?.boards)
  const open = runs.filter((run) => run.verdict === null && run.run !== bench?.run)
  const last = open.reduce<(typeof open)[number] | null>(
    (newest, run) => (newest === null || run.startedUtc > newest.startedUtc ? run : newest),
    null,
  )
  if (last === null) return null
  const name = boards?.find((board) => board.id === last.board && board.revision === last.revision)?.name ?? last.board
  return (
    <section className="card go-on" aria-label="Go on with the last run">
      <p>
        <b>{name}</b> rev {last.revision}, {serialWords(last.serialNumber)}
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
