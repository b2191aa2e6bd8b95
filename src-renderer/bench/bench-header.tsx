/** One line over the bench: which board, what has been proven, and whether the meter talks. */
import type { JSX } from 'react'
import { Mark } from '../app/mark'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { linkWords, serialWords } from '../app/words'
import type { BenchView } from '../../src-core/run/view'

export const BenchHeader = ({ bench }: { bench: BenchView }): JSX.Element => {
  const { go } = useSession()
  return (
    <header className="bench-header">
      <button
        type="button"
        className="leave"
        onClick={() => go('start')}
        title="Start, boards, meters, records; the run stays on the bench"
        aria-label="Leave for the start screen; the run stays on the bench"
      >
        <Mark />
      </button>
      <span className="board-name">
        <b>{bench.board.name}</b> rev {bench.board.revision}
      </span>
      <span className="serial">
        {bench.serialNumber === '' ? (
          serialWords('')
        ) : (
          <>
            serial <b>{bench.serialNumber}</b>
          </>
        )}
      </span>
      {bench.practice && <span className="badge practice">practice</span>}
      {bench.status === 'paused' && <span className="badge paused">paused</span>}
      <span className="grow" />
      {bench.leads !== '' && <span className="fact">{bench.leads}</span>}
      {bench.proof !== '' && <span className="fact">{bench.proof}</span>}
      <LinkStatus />
    </header>
  )
}

const LinkStatus = (): JSX.Element => {
  const link = useApp((state) => state.link)
  const live = useApp((state) => state.live)
  const talks = link.status === 'open' || link.status === 'practice'
  return (
    <span className={`link-status link-${link.status}`}>
      <Sign
        name={talks ? 'live' : link.status === 'lost' || link.status === 'closed' ? 'gone' : link.status === 'silent' ? 'warn' : 'quiet'}
      />
      {linkWords(link, live, false)}
    </span>
  )
}
