/** Teaches a meter nobody has described: what to show next, what the meter sends, what is known of it. */
import type { JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { AskCard } from './ask-card'
import { BitsCard } from './bits-card'
import { DisplaysCard } from './displays-card'
import { HeardCard } from './heard-card'
import { KeepCard } from './keep-card'
import { TeachSetupForm } from './teach-setup'

export const TeachScreen = (): JSX.Element => {
  const { order } = useSession()
  const teaching = useApp((state) => state.teaching)
  if (teaching === null || teaching.path === null) return <TeachSetupForm />
  return (
    <div className="teach">
      <header className="teach-head">
        <h1>Teach a meter</h1>
        <span className="aside">
          {teaching.setup.name}, listening to {teaching.path} at {teaching.setup.port.baud} baud. Nothing is sent to it.
        </span>
        <span className="grow" />
        <button type="button" className="quiet-act" data-testid="teach-stop" onClick={() => order('teach-stop', {})}>
          Stop listening
        </button>
      </header>
      <div className="teach-part">
        <AskCard key={teaching.setup.name} teaching={teaching} />
        <DisplaysCard teaching={teaching} />
      </div>
      <div className="teach-part">
        <HeardCard />
        <KnownCard known={teaching.known} left={teaching.left} />
        <BitsCard length={teaching.length} meaning={teaching.meaning} />
        <KeepCard teaching={teaching} />
      </div>
    </div>
  )
}

const KnownCard = ({ known, left }: { known: readonly string[]; left: readonly string[] }): JSX.Element | null =>
  known.length + left.length === 0 ? null : (
    <section className="card" aria-labelledby="known-title">
      <h2 id="known-title">Known so far</h2>
      <ul className="teach-known" data-testid="teach-known">
        {known.map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
      {left.length > 0 && (
        <details className="teach-left">
          <summary>Not seen yet, and left out as it stands ({left.length})</summary>
          <ul className="cautions" data-testid="teach-left">
            {left.map((words) => (
              <li key={words}>
                <Sign name="warn" /> {words}
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  )
