/** Start: go on with the last run, connect a meter, start a board, or practise with no meter at all. */
import { useState, type JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { useUnreadFiles } from '../library/unread-files'
import { BenchAir } from './bench-air'
import { ConnectForm } from './connect-form'
import { GoOn } from './go-on'
import { LinkPanel } from './link-panel'
import { Practise } from './practise'
import { StartBoard } from './start-board'

export const StartScreen = (): JSX.Element => {
  const { go } = useSession()
  const [chosen, setChosen] = useState<{ type: string; revision: string | null } | null>(null)
  const link = useApp((state) => state.link)
  const problems = useUnreadFiles()
  const linked = link.status === 'open' || link.status === 'silent'
  return (
    <div className="start">
      <h1 className="unseen">Start</h1>
      <GoOn />
      <section className="card" aria-labelledby="start-meter">
        <h2 id="start-meter">
          <span className="step-number">1</span> Meter
        </h2>
        {linked ? <LinkPanel /> : <ConnectForm />}
        <BenchAir />
      </section>
      <div className="start-right">
        <section className="card" aria-labelledby="start-board-title">
          <h2 id="start-board-title">
            <span className="step-number">2</span> Board
          </h2>
          <StartBoard linked={linked} onChoose={setChosen} />
        </section>
        <Practise above={chosen} />
      </div>
      <p className="safety">
        <Sign name="warn" />
        <span>
          Power off, unplugged and discharged before a tip touches the board; the app asks for the proof every time. It does not replace
          training, local codes or licensed practice: they come first.
        </span>
      </p>
      {problems > 0 && (
        <p className="notice problem">
          <Sign name="warn" />{' '}
          <span>
            {problems === 1 ? 'One file' : `${problems} files`} in the data folder could not be read.{' '}
            The others are not affected.
          </span>
          <button type="button" className="quiet-act" onClick={() => go('boards')}>
            See which
          </button>
        </p>
      )}
    </div>
  )
}
