/** The displays typed so far, the latest first; one typed wrong can be taken out. */
import type { JSX } from 'react'
import { useSession } from '../app/session'
import { Sign } from '../app/sign'
import type { TeachingView } from '../../src-core/meter/teach/teaching-view'

export const DisplaysCard = ({ teaching: { examples } }: { teaching: TeachingView }): JSX.Element => {
  const { order } = useSession()
  return (
    <section className="card" aria-labelledby="displays-title">
      <h2 id="displays-title">
        Displays typed <span className="aside">{examples.length}</span>
      </h2>
      {examples.length === 0 ? (
        <p className="aside">None yet.</p>
      ) : (
        <ol className="teach-displays" data-testid="teach-displays">
          {[...examples.entries()].reverse().map(([at, { words, says }]) => (
            <li key={at}>
              <span className="teach-number">{at + 1}</span>
              <span>
                {words}
                {says !== null && (
                  <span className="form-fault">
                    <Sign name="warn" /> {says}
                  </span>
                )}
              </span>
              <button type="button" className="quiet-act" aria-label={`Take out display ${at + 1}`} onClick={() => order('teach-forget', { example: at })}>
                Take out
              </button>
            </li>
          ))}
        </ol>
      )}
      {examples.length > 1 && (
        <button type="button" className="quiet-act" onClick={() => order('teach-forget', { example: null })}>
          Begin anew
        </button>
      )}
    </section>
  )
}
