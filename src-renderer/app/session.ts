/** One session with the service: the state the screen draws, the commands it sends, and what both hang on. */
import { createContext, useContext, useSyncExternalStore } from 'react'
import { connect, type Bridge, type Call } from '../connection/connection'
import { createTones, type Tones } from '../sound/tones'
import { createSpeaker, type Speaker } from '../voice/speaker'
import { voiceHere } from '../voice/web-speech'
import type { Voice } from '../voice/voice'
import { initialState, reduce, type AppState, type Happening, type Message, type Screen, type ToTeach } from './state'
import type { LiveView } from '../../src-core/run/view'

export type Session = {
  get: () => AppState
  subscribe: (listener: () => void) => () => void
  call: Call
  /** Sends a command whose failure belongs on the message line. */
  order: (...command: Parameters<Call>) => void
  go: (screen: Screen) => void
  /** To the teaching of the meter on this port. */
  teach: (from: ToTeach) => void
  say: (text: string, kind: Message['kind']) => void
  hush: () => void
  tones: Tones
  speaker: Speaker
  voice: Voice
}

export const openSession = (bridge: Bridge): Session => {
  let state = initialState
  const listeners = new Set<() => void>()
  const apply = (happening: Happening): void => {
    const next = reduce(state, happening)
    if (next === state) return
    state = next
    for (const listener of listeners) listener()
  }

  // The live part comes many times a second and is drawn once a frame; the run is drawn at once.
  let waiting: LiveView | null = null
  const drawLive = (): void => {
    const payload = waiting
    waiting = null
    if (payload !== null) apply({ kind: 'event', event: { event: 'live', payload } })
  }

  const tones = createTones()
  const voice = voiceHere()
  const speaker = createSpeaker(voice, initialState.settings.speech)
  const connection = connect(bridge, {
    up: (hello) => {
      waiting = null
      tones.use(hello.settings.sound)
      speaker.use(hello.settings.speech)
      apply({ kind: 'hello', hello })
      speaker.bench(hello.bench?.spoken ?? [], true)
    },
    down: (again) => {
      waiting = null
      tones.follow(null)
      speaker.lost()
      apply({ kind: 'down', again })
    },
    nonsense: (text) => apply({ kind: 'say', text, as: 'problem' }),
    event: (event) => {
      switch (event.event) {
        case 'live':
          if (waiting === null && !document.hidden) requestAnimationFrame(drawLive)
          waiting = event.payload
          tones.follow(event.payload.watch?.pitch ?? null)
          speaker.live(event.payload.spoken)
          if (document.hidden) drawLive()
          return
        case 'tone':
          tones.play(event.payload.tone)
          return
        case 'bench':
          apply({ kind: 'event', event })
          drawLive()
          speaker.bench(event.payload?.spoken ?? [], false)
          return
        case 'settings':
          tones.use(event.payload.sound)
          speaker.use(event.payload.speech)
          apply({ kind: 'event', event })
          return
        default:
          apply({ kind: 'event', event })
      }
    },
  })

  const say: Session['say'] = (text, as) => apply({ kind: 'say', text, as })
  return {
    get: () => state,
    subscribe: (listener) => {
      listeners.add(listener)
      return () => { listeners.delete(listener) }
    },
    call: connection.call,
    order: (...command) => { connection.call(...command).catch((error: Error) => say(error.message, 'problem')) },
    go: (screen) => apply({ kind: 'go', screen }),
    teach: (from) => apply({ kind: 'teach', from }),
    say,
    hush: () => apply({ kind: 'hush' }),
    tones,
    speaker,
    voice,
  }
}

export const SessionContext = createContext<Session | null>(null)

export const useSession = (): Session => {
  const session = useContext(SessionContext)
  if (session === null) throw new Error('This part of the screen is drawn outside SessionContext.')
  return session
}

/** The app does not answer this page: nothing on it is live, and no press arrives. */
export const useLost = (): boolean => useApp((state) => state.service.status === 'down')

/** A part of the state; `select` must return something the state holds, not a new object. Drawn in the same task it changed in. */
export const useApp = <T>(select: (state: AppState) => T): T => {
  const { get, subscribe } = useSession()
  return useSyncExternalStore(subscribe, () => select(get()))
}
