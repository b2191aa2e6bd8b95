/** What the screens beside the bench have in common: the way around, the run that goes on, and messages. */
import type { JSX, ReactNode } from 'react'
import { Mark } from './mark'
import { useApp, useSession } from './session'
import { Sign } from './sign'
import type { Screen } from './state'
import { linkWords, serialWords } from './words'

const places: { screen: Screen; name: string }[] = [
  { screen: 'start', name: 'Start' },
  { screen: 'boards', name: 'Boards' },
  { screen: 'meters', name: 'Meters' },
  { screen: 'records', name: 'Records' },
]

export const Frame = ({ title, children }: { title: string; children: ReactNode }): JSX.Element => {
  const { go } = useSession()
  const screen = useApp((state) => state.screen)
  const link = useApp((state) => state.link)
  const live = useApp((state) => state.live)
  return (
    <div className="frame">
      <header className="top">
        <span className="brand">
          <Mark /> Probewright
        </span>
        <nav aria-label="Screens">
          {places.map((place) => (
            <button
              key={place.screen}
              type="button"
              className="place"
              aria-current={screen === place.screen ? 'page' : undefined}
              onClick={() => go(place.screen)}
            >
              {place.name}
            </button>
          ))}
        </nav>
        <span className="grow" />
        <span className="link-status">
          <Sign name={link.status === 'open' || link.status === 'practice' ? 'live' : link.status === 'lost' ? 'gone' : 'quiet'} />
          {linkWords(link, live)}
        </span>
      </header>
      <RunGoesOn />
      <FrameMessage />
      <main className="page" aria-label={title}>
        {children}
      </main>
    </div>
  )
}

const RunGoesOn = (): JSX.Element | null => {
  const { go, order } = useSession()
  const bench = useApp((state) => state.bench)
  if (bench === null) return null
  return (
    <section className="goes-on" aria-label="The run on the bench">
      <span>
        {bench.status === 'ended'
          ? 'On the bench, ended: '
          : bench.status === 'paused'
            ? 'On the bench, paused: '
            : 'On the bench, and listening: '}
        <b>{bench.board.name}</b> rev {bench.board.revision}, {serialWords(bench.serialNumber)}
      </span>
      <span className="grow" />
      <button type="button" className="quiet-act" data-testid="put-aside" onClick={() => order('close-run', {})}>
        Put it aside
      </button>
      <button type="button" className="main-act" data-testid="back-to-bench" onClick={() => go('bench')}>
        Back to the bench
      </button>
    </section>
  )
}

const FrameMessage = (): JSX.Element | null => {
  const { hush } = useSession()
  const service = useApp((state) => state.service)
  const message = useApp((state) => state.message)
  if (service.status === 'down') {
    return (
      <p className="notice problem" role="alert">
        <Sign name="warn" /> The service does not answer; trying again every few seconds. Nothing you do here is kept until it is back.
      </p>
    )
  }
  if (message === null) return null
  return (
    <p className={`notice ${message.kind}`} role={message.kind === 'problem' ? 'alert' : 'status'}>
      {message.kind === 'problem' && <Sign name="warn" />} <span>{message.text}</span>
      <button type="button" className="quiet-act" onClick={hush}>
        Seen
      </button>
    </p>
  )
}
