/** What the screen knows: a plain reducer over what the service said. It holds nothing that is not told again by hello. */
import type { EventPayload, LibraryView, LinkView } from '../../src-core/contract'
import type { PortSettings } from '../../src-core/meter/description'
import type { BenchView, LiveView } from '../../src-core/run/view'
import { usualBenchSettings, type BenchSettings } from '../../src-core/settings/bench-settings'
import type { Hello, ServiceEvent } from '../connection/connection'

export type Screen = 'start' | 'bench' | 'boards' | 'meters' | 'records' | 'learnt' | 'jobs' | 'sound-and-keys' | 'teach'
export type Message = { text: string; kind: 'note' | 'problem'; number: number }
export type Service = { status: 'connecting' } | { status: 'up' } | { status: 'down'; again: number }

/** What is known of the port of a meter that no description fits. */
export type ToTeach = { path: string; port: PortSettings | null }

export type AppState = {
  service: Service
  version: string
  screen: Screen
  bench: BenchView | null
  live: LiveView
  /** Of the run on the bench. */
  diagnosis: EventPayload<'diagnosis'>
  link: LinkView
  /** Which meter hangs on the link, and how sure that is. */
  identity: EventPayload<'identity'>
  /** Null until the service has said hello. */
  library: LibraryView | null
  /** A new object whenever something about the runs changed. */
  runs: EventPayload<'runs'>
  /** Runs that are still to be learnt from; a new object whenever something was learnt. */
  learnt: EventPayload<'learnt'>
  settings: BenchSettings
  /** An export that takes its time. */
  exporting: EventPayload<'export'>
  /** A port that is being listened to for its meter. */
  recognising: EventPayload<'recognising'>
  message: Message | null
  /** An unknown meter that is being taught. */
  teaching: EventPayload<'teaching'>
  heard: EventPayload<'heard'> | null
  /** What was typed or found on Connect before teaching began. */
  toTeach: ToTeach | null
  /** Where the run on the bench was begun: it goes back there. */
  begunOn: Screen
}

export type Happening =
  | { kind: 'hello'; hello: Hello }
  | { kind: 'down'; again: number }
  | { kind: 'event'; event: ServiceEvent }
  | { kind: 'go'; screen: Screen }
  | { kind: 'teach'; from: ToTeach }
  | { kind: 'say'; text: string; as: Message['kind'] }
  | { kind: 'hush' }

export const initialState: AppState = {
  service: { status: 'connecting' },
  version: '',
  screen: 'start',
  bench: null,
  live: { reading: null, perSecond: null, mark: null, state: '', tone: 'ask', beads: null, spoken: null, wants: 'nothing' },
  diagnosis: null,
  link: { status: 'closed', path: null, description: null, meter: null, message: null, identification: null, readings: 0, rejects: 0 },
  identity: null,
  library: null,
  runs: { goOn: null, latest: [] },
  learnt: { due: 0 },
  settings: usualBenchSettings,
  exporting: null,
  recognising: null,
  message: null,
  teaching: null,
  heard: null,
  toTeach: null,
  begunOn: 'start',
}

/** A run that has just come to the bench brings its screen; one that has gone takes it away. */
const screenFor = (state: AppState, bench: BenchView | null): Screen => {
  if (bench !== null && bench.run !== state.bench?.run) return 'bench'
  if (bench === null && state.screen === 'bench') return state.begunOn
  return state.screen
}

/** Only the Meters screen begins runs of its own; where the page was opened anew nobody knows. */
const begunOn = (state: AppState, bench: BenchView | null): Screen =>
  (bench === null || bench.run === state.bench?.run ? state.begunOn : state.service.status === 'up' && state.screen === 'meters' ? 'meters' : 'start')

/** What could not be done before is no trouble of the run that was begun since. */
const messageWith = ({ message, bench: before }: AppState, bench: BenchView | null): Message | null =>
  (message?.kind === 'problem' && bench !== null && bench.run !== before?.run ? null : message)

const withBench = (state: AppState, bench: BenchView | null): AppState =>
  ({ ...state, bench, screen: screenFor(state, bench), begunOn: begunOn(state, bench), message: messageWith(state, bench) })

const withMessage = (state: AppState, text: string, kind: Message['kind']): AppState =>
  ({ ...state, message: { text, kind, number: (state.message?.number ?? 0) + 1 } })

const withEvent = (state: AppState, said: ServiceEvent): AppState => {
  switch (said.event) {
    case 'bench': return withBench(state, said.payload)
    case 'live': return { ...state, live: said.payload }
    case 'diagnosis': return { ...state, diagnosis: said.payload }
    case 'link': return { ...state, link: said.payload }
    case 'identity': return { ...state, identity: said.payload }
    case 'library': return { ...state, library: said.payload }
    case 'meters': return state.library === null ? state : { ...state, library: { ...state.library, meters: said.payload } }
    case 'settings': return { ...state, settings: said.payload }
    case 'runs': return { ...state, runs: said.payload }
    case 'learnt': return { ...state, learnt: said.payload }
    case 'recognising': return { ...state, recognising: said.payload }
    case 'export': return { ...state, exporting: said.payload }
    case 'message': return withMessage(state, said.payload.text, said.payload.kind)
    case 'tone': return state
    case 'teaching': return { ...state, teaching: said.payload, heard: said.payload === null || said.payload.path === null ? null : state.heard }
    case 'heard': return { ...state, heard: said.payload }
  }
}

export const reduce = (state: AppState, happening: Happening): AppState => {
  switch (happening.kind) {
    case 'hello': {
      const { version, bench, live, link, identity, library, runs, settings, teaching, diagnosis } = happening.hello
      return { ...withBench(state, bench), service: { status: 'up' }, version, live, link, identity, library, runs, settings, teaching, diagnosis, heard: null }
    }
    // Nothing of the live part is known any more; the run as it stood is kept to be read.
    case 'down': return { ...state, exporting: null, recognising: null, live: initialState.live, service: { status: 'down', again: happening.again } }
    case 'event': return withEvent(state, happening.event)
    case 'go': return { ...state, screen: happening.screen }
    case 'teach': return { ...state, screen: 'teach', toTeach: happening.from }
    case 'say': return withMessage(state, happening.text, happening.as)
    case 'hush': return { ...state, message: null }
  }
}
