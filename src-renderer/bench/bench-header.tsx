/** One line over the bench: which board, what has been proven, and whether the meter talks. */
import type { JSX } from 'react'
import { Mark } from '../app/mark'
import { useApp, useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { linkWords, serialWords } from '../app/words'
import { isBenchRun } from '../../src-core/run/bench-runs'
import type { BenchView } from '../../src-core/run/view'

export const BenchHeader = ({ bench }: { bench: BenchView }): JSX.Element => {
  const { go } = useSession()
  // Its pseudo-board has no revision and no serial number that would tell anything.
  const ofMeter = isBenchRun(bench.board.id)
  return (
    <header className="bench-header">
      <button
        type="button"
        className="leave"
        onClick={() => go('start')}
        title={`Start, boards, meters, records; ${bench.record ? 'the record stays open' : 'the run stays on the bench'}`}
        aria-label={`Leave for the start screen; ${bench.record ? 'the record stays open' : 'the run stays on the bench'}`}
      >
        <Mark />
      </button>
      <span className="board-name">
        <b>{bench.board.name}</b>{!ofMeter && ` rev ${bench.board.revision}`}
      </span>
      {!ofMeter && (
        <span className="serial">
          {bench.serialNumber === '' ? (
            serialWords('')
          ) : (
            <>
              serial <b>{bench.serialNumber}</b>
            </>
          )}
        </span>
      )}
      {bench.practice && <span className="badge practice">practice</span>}
      {bench.status === 'paused' && <span className="badge paused">paused</span>}
      <span className="grow" />
      {bench.record ? <span className="fact">record, to be read</span> : <LiveFacts leads={bench.leads} proof={bench.proof} />}
    </header>
  )
}

/** Leads, proof and meter as they are now; of none of them anything is known once the app is lost. */
const LiveFacts = ({ leads, proof }: { leads: string; proof: string }): JSX.Element => {
  const lost = useLost()
  return lost ? (
    <span className="link-status" data-testid="link-status">
      <Sign name="quiet" />
      meter unknown
    </span>
  ) : (
    <>
      {leads !== '' && <span className="fact">{leads}</span>}
      {proof !== '' && <span className="fact">{proof}</span>}
      <LinkStatus />
    </>
  )
}

const LinkStatus = (): JSX.Element => {
  const link = useApp((state) => state.link)
  const live = useApp((state) => state.live)
  const talks = link.status === 'open' || link.status === 'practice'
  return (
    <span className={`link-status link-${link.status}`} data-testid="link-status">
      <Sign
        name={talks ? 'live' : link.status === 'lost' || link.status === 'closed' ? 'gone' : link.status === 'silent' ? 'warn' : 'quiet'}
      />
      {linkWords(link, live, false)}
    </span>
  )
}
