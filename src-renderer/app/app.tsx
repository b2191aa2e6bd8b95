/** Chooses the screen, and says when the service cannot be reached. */
import { useEffect, type JSX } from 'react'
import { BenchScreen } from '../bench/bench-screen'
import { BoardsScreen } from '../library/boards-screen'
import { MetersScreen } from '../library/meters-screen'
import { JobsScreen } from '../jobs/jobs-screen'
import { LearntScreen } from '../learnt/learnt-screen'
import { RecordsScreen } from '../records/records-screen'
import { SettingsScreen } from '../settings/settings-screen'
import { StartScreen } from '../start/start-screen'
import { TeachScreen } from '../teach/teach-screen'
import { Frame } from './frame'
import { useApp, useSession } from './session'
import { lostWords } from './words'

/** Seconds a note stands; a problem stands until it is seen. */
const noteStands = 8

const Page = (): JSX.Element => {
  const screen = useApp((state) => state.screen)
  const bench = useApp((state) => state.bench)
  switch (screen) {
    case 'bench':
      return bench === null ? (
        <Frame title="Start">
          <StartScreen />
        </Frame>
      ) : (
        <BenchScreen bench={bench} />
      )
    case 'start':
      return (
        <Frame title="Start">
          <StartScreen />
        </Frame>
      )
    case 'boards':
      return (
        <Frame title="Boards">
          <BoardsScreen />
        </Frame>
      )
    case 'meters':
      return (
        <Frame title="Meters">
          <MetersScreen />
        </Frame>
      )
    case 'teach':
      return (
        <Frame title="Teach a meter">
          <TeachScreen />
        </Frame>
      )
    case 'records':
      return (
        <Frame title="Records">
          <RecordsScreen />
        </Frame>
      )
    case 'jobs':
      return (
        <Frame title="Jobs">
          <JobsScreen />
        </Frame>
      )
    case 'learnt':
      return (
        <Frame title="What the shop has learnt">
          <LearntScreen />
        </Frame>
      )
    case 'sound-and-keys':
      return (
        <Frame title="Sound and keys">
          <SettingsScreen />
        </Frame>
      )
  }
}

const Waiting = ({ hasToken }: { hasToken: boolean }): JSX.Element => {
  const service = useApp((state) => state.service)
  return (
    <main className="waiting">
      <h1>Probewright</h1>
      <p role="status">
        {!hasToken
          ? 'This page was opened without its token. Open the whole address that “npm start” prints, with what stands after the #.'
          : service.status === 'down'
            ? lostWords
            : 'Reaching Probewright …'}
      </p>
    </main>
  )
}

export const App = ({ hasToken }: { hasToken: boolean }): JSX.Element => {
  const { tones, hush } = useSession()
  const message = useApp((state) => state.message)
  const greeted = useApp((state) => state.library !== null)

  useEffect(() => {
    window.addEventListener('keydown', tones.wake)
    window.addEventListener('pointerdown', tones.wake)
    return () => {
      window.removeEventListener('keydown', tones.wake)
      window.removeEventListener('pointerdown', tones.wake)
    }
  }, [tones])

  useEffect(() => {
    if (message?.kind !== 'note') return
    const timer = setTimeout(hush, noteStands * 1000)
    return () => clearTimeout(timer)
  }, [message, hush])

  return greeted ? <Page /> : <Waiting hasToken={hasToken} />
}
