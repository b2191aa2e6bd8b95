/** What the screens beside the bench have in common: the way around, the run that goes on, and messages. */
import type { JSX, ReactNode } from 'react'
import { letGo } from '../keys/let-go'
import { Mark } from './mark'
import { useApp, useLost, useSession } from './session'
import { Sign } from './sign'
import type { Screen } from './state'
import { linkWords, lostWords, serialWords } from './words'

const places: { screen: Screen; name: string }[] = [
  { screen: 'start', name: 'Start' },
  { screen: 'boards', name: 'Boards' },
  { screen: 'meters', name: 'Meters' },
  { screen: 'jobs', name: 'Jobs' },
  { screen: 'records', name: 'Records' },
  { screen: 'sound-and-keys', name: 'Sound and keys' },
]

export const Frame = ({ title, children }: { title: string; children: ReactNode }): JSX.Element => {
  const { go } = useSession()
  const screen = useApp((state) => state.screen)
  const link = useApp((state) => state.link)
  const live = useApp((state) => state.live)
  const lost = useLost()
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
              aria-current={screen === place.screen || (screen === 'teach' && place.screen === 'meters') || (screen === 'learnt' && place.screen === 'records') ? 'page' : undefined}
              onClick={(event) => {
                // After a click of the mouse the keys belong to the screen that opens; after Tab they stay here.
                letGo(event)
                go(place.screen)
              }}
            >
              {place.name}
            </button>
          ))}
        </nav>
        <span className="grow" />
        <span className="link-status">
          <Sign
            name={!lost && (link.status === 'open' || link.status === 'practice') ? 'live' : !lost && link.status === 'lost' ? 'gone' : 'quiet'}
          />
          {lost ? 'meter unknown' : linkWords(link, live)}
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
  const lost = useLost()
  if (bench === null) return null
  return (
    <section className="goes-on" aria-label="The run on the bench">
      <span>
        {bench.record
          ? 'A record is open: '
          : bench.status === 'ended'
          ? 'On the bench, ended: '
          : bench.status === 'paused'
            ? 'On the bench, paused: '
            : lost
              ? 'On the bench: '
              : 'On the bench, and listening: '}
        <b>{bench.board.name}</b> rev {bench.board.revision}, {serialWords(bench.serialNumber)}
      </span>
      <span className="grow" />
      <button type="button" className="quiet-act" data-testid="put-aside" disabled={lost} onClick={() => order('close-run', {})}>
        {bench.record ? 'Close it' : 'Put it aside'}
      </button>
      <button type="button" className="main-act" data-testid="back-to-bench" onClick={() => go('bench')}>
        {bench.record ? 'Back to the record' : 'Back to the bench'}
      </button>
    </section>
  )
}

const FrameMessage = (): JSX.Element | null => {
  const { hush } = useSession()
  const lost = useLost()
  const message = useApp((state) => state.message)
  if (lost) {
    return (
      <p className="notice problem" role="alert" data-testid="app-lost">
        <Sign name="warn" /> {lostWords}
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
