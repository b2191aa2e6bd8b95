/** The reducer: a run's state from its events. It judges nothing; value, limits, verdict and branch stand in the events. */
import type { CapturedBody, ComparedBody, DecidedBody, LearnedBody, WatchedBody, RunEvent, RunEventBody, Stamp } from './event'

type Of<K extends RunEventBody['kind']> = Stamp & Extract<RunEventBody, { kind: K }>
export type Captured = Stamp & CapturedBody
export type Learned = Stamp & LearnedBody
export type Compared = Stamp & ComparedBody
export type Watched = Stamp & WatchedBody
export type Decided = Stamp & DecidedBody

export type StepState = {
  /** Touches of the attempt that stands. */
  captured: Captured[]
  /** Points of a walk that is learned, in order. */
  learned: Learned[]
  /** Touches on the good board beside this one, in order; they stay while the board under test is touched. */
  compared: Compared[]
  /** It was left to the limits of the step. */
  notCompared: Of<'not-compared'> | null
  watched: Watched | null
  decided: Decided | null
  skipped: Of<'skipped'> | null
  done: Of<'done'> | null
  notes: string[]
  /** The latest value of the attempt that stands that was asked about instead of recorded. */
  questioned: Of<'questioned'> | null
  /** Touches that were undone or measured again; never lost. */
  earlier: Captured[]
  /** The same of points of a walk, of touches on the good board, and of watches, those that were interrupted among them. */
  earlierLearned: Learned[]
  earlierCompared: Compared[]
  earlierWatched: Watched[]
}

export type RunState = {
  started: Of<'started'>
  /** Every event, in order: the run itself. */
  events: RunEvent[]
  /** Those that were not undone. */
  standing: RunEvent[]
  status: 'running' | 'paused' | 'ended'
  steps: Record<string, StepState>
  /** The sequence's step to be made next; null: its first; 'end': none. */
  cursor: string | null
  /** Sequence of the last lapse of the de-energised proof; 0: none yet. What was proven before does not count. */
  lapsedAt: number
  lapsedBecause: string | null
  /** Sequence since which jacks, diode and leads must be checked anew on another meter; null: as planned at the start. */
  otherMeterSince: number | null
  meterLost: boolean
  /** What the steps without limits of their own are judged by; null: nothing yet for this meter. */
  limits: Of<'limits-computed'> | null
  ended: Of<'ended'> | null
}

export const isPreparation = (step: string): boolean => step.startsWith('prepare/')

const emptyStep: StepState = { captured: [], learned: [], compared: [], notCompared: null, watched: null, decided: null, skipped: null, done: null, notes: [], questioned: null, earlier: [], earlierLearned: [], earlierCompared: [], earlierWatched: [] }

export const stepState = (state: RunState, step: string): StepState => (Object.hasOwn(state.steps, step) ? state.steps[step] : undefined) ?? emptyStep

/** Facts about the world, which undoing a decision does not unmake. */
const isFact = (event: RunEvent): boolean =>
  (event.kind === 'noted' && event.ofDecision !== true) || ['started', 'repaired', 'struck', 'closed', 'paused', 'resumed', 'meter-lost', 'meter-back', 'proof-lapsed', 'limits-computed', 'elsewhere-computed'].includes(event.kind)

const withStep = (state: RunState, step: string, change: (before: StepState) => StepState): RunState =>
  ({ ...state, steps: { ...state.steps, [step]: change(stepState(state, step)) } })

const cursorAfter = (event: Decided): string => (typeof event.next === 'string' ? event.next : 'end')

const oneOrNone = (watched: Watched | null): Watched[] => (watched === null ? [] : [watched])

/** A step measured again after its decision: the values before it are kept as earlier ones. */
const newAttempt = (before: StepState): StepState => (before.decided === null ? before : {
  ...before, captured: [], learned: [], compared: [], notCompared: null, watched: null, decided: null, skipped: null, done: null, questioned: null, earlier: [...before.earlier, ...before.captured],
  earlierLearned: [...before.earlierLearned, ...before.learned], earlierCompared: [...before.earlierCompared, ...before.compared], earlierWatched: [...before.earlierWatched, ...oneOrNone(before.watched)],
})

const apply = (state: RunState, event: RunEvent): RunState => {
  switch (event.kind) {
    case 'started': return state
    case 'captured':
      return withStep(state, event.step, (before) => {
        const attempt = newAttempt(before)
        return { ...attempt, captured: [...attempt.captured, event] }
      })
    case 'learned': return withStep(state, event.step, (before) => { const attempt = newAttempt(before); return { ...attempt, learned: [...attempt.learned, event] } })
    // A question about the good board is no question about the other.
    case 'compared': return withStep(state, event.step, (before) => {
      const attempt = newAttempt(before)
      return { ...attempt, compared: [...attempt.compared, event], questioned: event.outcome === 'again' ? attempt.questioned : null }
    })
    case 'not-compared': return withStep(state, event.step, (before) => ({ ...newAttempt(before), notCompared: event, questioned: null }))
    case 'watched': return withStep(state, event.step, (before) => {
      const attempt = newAttempt(before)
      return event.ended === 'interrupted' ? { ...attempt, earlierWatched: [...attempt.earlierWatched, event] } : { ...attempt, watched: event }
    })
    case 'decided': {
      const next = withStep(state, event.step, (before) => ({ ...before, decided: event }))
      return isPreparation(event.step) ? next : { ...next, cursor: cursorAfter(event) }
    }
    case 'questioned': return withStep(state, event.step, (before) => ({ ...newAttempt(before), questioned: event }))
    case 'skipped': return withStep(state, event.step, (before) => ({ ...newAttempt(before), skipped: event }))
    case 'done': return withStep(state, event.step, (before) => ({ ...newAttempt(before), done: event }))
    case 'noted': return event.step === null ? state : withStep(state, event.step, (before) => ({ ...before, notes: [...before.notes, event.text] }))
    case 'asked':
    case 'elsewhere': return { ...state, cursor: event.step }
    case 'elsewhere-computed':
    case 'inferred':
    case 'repaired':
    case 'struck':
    case 'closed':
    case 'undone': return state
    case 'paused': return { ...state, status: 'paused' }
    case 'resumed': return { ...state, status: state.ended === null ? 'running' : 'ended' }
    case 'meter-lost': return { ...state, meterLost: true }
    case 'meter-back': return { ...state, meterLost: false, otherMeterSince: event.same ? state.otherMeterSince : event.seq, limits: event.same ? state.limits : null }
    case 'limits-computed': return { ...state, limits: event }
    case 'proof-lapsed': return { ...state, lapsedAt: event.seq, lapsedBecause: event.because }
    case 'ended': return { ...state, status: 'ended', ended: event }
  }
}

const blank = (started: Of<'started'>): RunState => ({
  started, events: [started], standing: [started], status: 'running', steps: {}, cursor: null,
  lapsedAt: 0, lapsedBecause: null, otherMeterSince: null, meterLost: false, limits: null, ended: null,
})

/** What was taken back joins the earlier ones, each once, save for those that stand again. */
const past = <T extends Stamp>(earlier: readonly T[], taken: readonly T[], standing: readonly T[]): T[] => {
  const stands = new Set(standing.map(({ seq }) => seq))
  return [...new Map([...earlier, ...taken].map((each) => [each.seq, each])).values()].filter(({ seq }) => !stands.has(seq))
}

/** The state with everything after `to` taken back but for the facts; what was measured stays as earlier values. */
const undo = (state: RunState, event: Of<'undone'>): RunState => {
  const standing = state.standing.filter((each) => each.seq <= event.to || isFact(each))
  const replayed = standing.slice(1).reduce(apply, { ...blank(state.started), standing })
  const taken = state.standing.filter((each) => each.seq > event.to)
  return Object.entries(state.steps).reduce((next, [step, before]) => {
    const own = stepState(next, step)
    const kept = {
      earlier: past(before.earlier, taken.filter((each): each is Captured => each.kind === 'captured' && each.step === step), own.captured),
      earlierLearned: past(before.earlierLearned, taken.filter((each): each is Learned => each.kind === 'learned' && each.step === step), own.learned),
      earlierCompared: past(before.earlierCompared, taken.filter((each): each is Compared => each.kind === 'compared' && each.step === step), own.compared),
      earlierWatched: past(before.earlierWatched, taken.filter((each): each is Watched => each.kind === 'watched' && each.step === step), oneOrNone(own.watched)),
    }
    const none = kept.earlier.length + kept.earlierLearned.length + kept.earlierCompared.length + kept.earlierWatched.length === 0
    return none && !Object.hasOwn(next.steps, step) ? next : withStep(next, step, (now) => ({ ...now, ...kept }))
  }, { ...replayed, events: state.events })
}

/** @throws Error when an event is out of order: a run has no gaps. */
export const reduce = (state: RunState, event: RunEvent): RunState => {
  const last = state.events[state.events.length - 1]?.seq ?? 0
  if (event.seq !== last + 1) throw new Error(`Run ${state.started.run}: event ${event.seq} follows ${last}. The run's events are not complete.`)
  const events = [...state.events, event]
  if (event.kind === 'undone') return { ...undo({ ...state, events }, event), events }
  return { ...apply(state, event), events, standing: [...state.standing, event] }
}

/** The same state from the events as they lie in the store. @throws Error when the first is not `started`, or one is missing. */
export const rebuild = (events: readonly RunEvent[]): RunState => {
  const [first, ...rest] = events
  if (first === undefined || first.kind !== 'started' || first.seq !== 1) throw new Error('A run begins with its “started” event, number 1.')
  return rest.reduce(reduce, blank(first))
}
