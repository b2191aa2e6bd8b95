/** Following a value while something is done to the board: smallest and largest value, and how often and how long the contact dropped out. Pure, as capture is. */
import type { MeterFlag, MeterFunction, Reading } from '../meter/reading'
import { unitOf } from '../meter/reading'
import { seconds, type Seconds } from '../quantity/units'
import { shows } from './air'
import { isCharged } from './charged'
import { noteFrame, startClock } from './conversions'
import { liftConversions } from './lift'
import { lyingFlag } from './modes'
import { paceOf } from './pace'
import { breaksContact, isSilent } from './silence'
import type { CaptureState } from './state'
import type { CaptureTask } from './task'

/** A value further than this share of the usual one away from it has jumped: no part drifts so far between two conversions while it is warmed. Our choice. */
export const jumpShare = 0.5
/** And by more than so many counts, which near zero would be a jump of its own. */
const jumpCounts = 10
/** The usual value is the median of so many latest ones that did not jump. */
const usualOf = 5
/** It ends by itself after so many conversions or seconds: all its frames are kept. */
export const mostConversions = 3000
export const mostSeconds = 300
/** Without any contact it is confirmed as open only so long after it began to be looked for (capture.md, rule 7). */
const openSeconds = 1

export type Dropout = { at: number; seconds: number; shows: 'no-contact' | 'jump' }
/** `at`: s since the first contact. As shown, before anything is taken off for the leads. */
export type Extreme = { value: number; at: number; count: number | null; range: number | null }
/** Conversions in a row that show no contact, or a jump. `back`: when contact showed again, until a whole conversion bears it out. */
type Out = { from: Seconds; conversions: number; shows: Dropout['shows']; back: Seconds | null }

export type WatchState = {
  task: CaptureTask
  clock: CaptureState['clock']
  measuredConversion: CaptureState['measuredConversion']
  /** Of the first whole conversion in contact; null: no contact yet. */
  since: Seconds | null
  /** Since when no contact has been seen without a break; null: there is one, or nothing was seen. */
  apartSince: Seconds | null
  /** Conversions without contact before the first contact: what is followed is one that was seen to begin (capture.md, rule 11). */
  liftSeen: number
  /** The conversion before was no contact: the next one is in part air. */
  entering: boolean
  /** In contact, and counted once the next conversion shows that the tips had not left meanwhile. */
  pending: { at: Seconds; value: number; count: number | null; range: number | null } | null
  recent: number[]
  /** The first value in contact: what a change is heard against. */
  first: number | null
  minimum: Extreme | null
  maximum: Extreme | null
  conversions: number
  out: Out | null
  dropouts: Dropout[]
  raw: string[]
  last: { at: Seconds; range: number | null; count: number | null } | null
  obstacle: { kind: 'wrong-function'; shows: MeterFunction } | { kind: 'mode'; flag: MeterFlag } | null
  charged: boolean
}

export type WatchOutput = { kind: 'contact' | 'lost' | 'charged' | 'wrong-function'; at: Seconds }
/** `left`: what had been followed where this reading makes it begin anew; null: it goes on, or nothing had. */
export type Watched = { state: WatchState; outputs: WatchOutput[]; left: WatchState | null }
type Followed = Pick<Watched, 'state' | 'outputs'>

export const startWatch = (task: CaptureTask, at: Seconds, measuredConversion: CaptureState['measuredConversion'] = {}): WatchState => ({
  task, clock: startClock(at), measuredConversion, since: null, apartSince: null, liftSeen: 0, entering: true, pending: null, recent: [], first: null, minimum: null, maximum: null, conversions: 0, out: null,
  dropouts: [], raw: [], last: null, obstacle: null, charged: false,
})

/** Conversions in a row that make a dropout: as many as make a lift (capture.md, rule 11). */
const needed = (state: WatchState): number => liftConversions(paceOf(state).seconds)

/** The leads have been seen apart. */
export const isLifted = (state: WatchState): boolean => state.since !== null || state.liftSeen >= needed(state)

const median = (values: readonly number[]): number | null => {
  const sorted = [...values].sort((a, b) => a - b)
  const [low, high] = [sorted[Math.floor((sorted.length - 1) / 2)], sorted[Math.ceil((sorted.length - 1) / 2)]]
  return low === undefined || high === undefined ? null : (low + high) / 2
}

const hasJumped = ({ recent }: WatchState, value: number, count: number | null): boolean => {
  const usual = median(recent)
  return usual !== null && Math.abs(value - usual) > jumpShare * Math.abs(usual) && Math.abs(value - usual) > jumpCounts * (count ?? 0)
}

/** The conversion that waits is in contact on both its sides: it counts. */
const commit = (state: WatchState): WatchState => {
  const { pending, since } = state
  if (pending === null || since === null) return { ...state, pending: null }
  const one: Extreme = { value: pending.value, at: pending.at - since, count: pending.count, range: pending.range }
  return {
    ...state, pending: null, conversions: state.conversions + 1,
    minimum: state.minimum === null || one.value < state.minimum.value ? one : state.minimum,
    maximum: state.maximum === null || one.value > state.maximum.value ? one : state.maximum,
  }
}

const closeOut = (state: WatchState, at: Seconds): WatchState => {
  const { out, since } = state
  if (out === null) return state
  const lasted = out.conversions >= needed(state) && since !== null ? [{ at: out.from - since, seconds: (out.back ?? at) - out.from, shows: out.shows }] : []
  return { ...state, out: null, dropouts: [...state.dropouts, ...lasted] }
}

const widen = (state: WatchState, at: Seconds, what: Dropout['shows']): WatchState => ({
  ...state, out: state.out === null ? { from: at, conversions: 1, shows: what, back: null }
    : { ...state.out, conversions: state.out.conversions + 1, back: null, shows: what === 'no-contact' ? what : state.out.shows },
})

const withoutContact = (state: WatchState, at: Seconds): Followed => {
  // The conversion before ran into this: part of it was air.
  const apart = { ...state, pending: null, entering: true, apartSince: state.apartSince ?? at }
  if (state.since === null) return { state: { ...apart, liftSeen: state.liftSeen + 1 }, outputs: [] }
  const next = widen(apart, at, 'no-contact')
  return { state: next, outputs: next.out?.conversions === needed(next) ? [{ kind: 'lost', at }] : [] }
}

const inContact = (state: WatchState, { at, value, resolution: count, range }: Reading & { value: number }): Followed => {
  const touched = { ...state, apartSince: null }
  if (touched.since === null && !isLifted(touched)) return { state: touched, outputs: [] }
  // Rule 1: part of the first conversion after contact was air.
  if (touched.entering) return { state: { ...touched, entering: false, out: touched.out === null ? null : { ...touched.out, back: at } }, outputs: [] }
  if (touched.since === null) {
    return { state: { ...touched, since: at, pending: { at, value, count, range }, recent: [value], first: value }, outputs: [{ kind: 'contact', at }] }
  }
  const jumped = hasJumped(touched, value, count)
  const counted = { ...commit(touched), pending: { at, value, count, range } }
  if (jumped) return { state: widen(counted, at, 'jump'), outputs: [] }
  const back = touched.out !== null
  return { state: { ...closeOut(counted, at), recent: [...touched.recent, value].slice(-usualOf) }, outputs: back ? [{ kind: 'contact', at }] : [] }
}

/** Frames have stayed away for so long that nobody knows where the tips were meanwhile: nothing ends on such a time, neither by a press nor by itself. */
export const isUnseen = (state: WatchState, at: Seconds): boolean => isSilent(state.clock, at, paceOf(state).seconds) || breaksContact(state.clock, at)

/** What was not seen cannot be told: it begins anew. Behind a silence the leads have to leave first; a shorter gap, as in ranging, only starts the touch again. */
const afterGap = (state: WatchState, at: Seconds): WatchState => {
  if (state.clock.function === null || !isUnseen(state, at)) return state
  const anew = startWatch(state.task, at, state.measuredConversion)
  return isSilent(state.clock, at, paceOf(state).seconds) ? anew : { ...anew, clock: state.clock, liftSeen: isLifted(state) ? needed(state) : 0 }
}

/** What was followed up to its last frame, where it is left; null: nothing was. The conversion that waits is not borne out by another. */
export const broken = (state: WatchState): WatchState | null => (state.since === null ? null : watchedUntil({ ...state, pending: null }, state.clock.at))

/** Takes in one frame of the meter. Where it begins anew, what was followed up to then is handed out. */
export const watchReading = (before: WatchState, reading: Reading): Watched => {
  const { state, outputs } = follow(before, reading)
  return { state, outputs, left: state.since === before.since ? null : broken(before) }
}

const follow = (before: WatchState, reading: Reading): Followed => {
  const seen = afterGap(before, reading.at)
  const described = reading.function === seen.task.function ? seen.task.conversionSeconds : null
  const noted = noteFrame(seen.clock, reading, described, seen.measuredConversion)
  const state: WatchState = { ...seen, clock: noted.clock, measuredConversion: noted.measured }
  const flag = lyingFlag(reading.flags)
  // A value in such a mode, or in another function, says nothing of this watch.
  const anew = (obstacle: WatchState['obstacle']): WatchState => ({ ...startWatch(state.task, reading.at, state.measuredConversion), clock: state.clock, obstacle })
  if (flag !== null) return { state: anew({ kind: 'mode', flag }), outputs: [] }
  if (isCharged(reading) !== null) return { state: { ...state, charged: true }, outputs: state.charged ? [] : [{ kind: 'charged', at: reading.at }] }
  if (reading.function !== state.task.function || reading.unit !== unitOf[state.task.function]) {
    const said = state.obstacle?.kind === 'wrong-function' && state.obstacle.shows === reading.function
    return { state: anew({ kind: 'wrong-function', shows: reading.function }), outputs: said ? [] : [{ kind: 'wrong-function', at: reading.at }] }
  }
  const clear: WatchState = { ...state, obstacle: null }
  if (!noted.conversion) return { state: clear, outputs: [] }
  const { value } = reading
  const shown = shows(reading, clear.task.air, clear.apartSince !== null)
  const done = shown !== 'finite' || typeof value !== 'number' ? withoutContact(clear, reading.at) : inContact(clear, { ...reading, value })
  const { since } = done.state
  if (since === null) return { ...done, state: { ...done.state, raw: [...clear.raw, reading.raw].slice(-usualOf) } }
  // Kept from the first conversion that counts.
  const raw = clear.since === null ? [reading.raw] : [...clear.raw, reading.raw]
  return { ...done, state: { ...done.state, raw, last: { at: reading.at, range: reading.range ?? clear.last?.range ?? null, count: reading.resolution ?? clear.last?.count ?? null } } }
}

/** No contact at all was seen for long enough that a press may confirm it. */
export const isOpenSoFar = ({ since, apartSince, clock }: WatchState): boolean => since === null && apartSince !== null && clock.at - apartSince >= openSeconds - 1e-9

/** What a dropout is that goes on now. */
export const isOut = (state: WatchState): boolean => state.out !== null && state.out.conversions >= needed(state)

/** Seconds since the first contact; 0 before it. */
export const watchedFor = ({ since }: WatchState, at: Seconds): Seconds => seconds(since === null ? 0 : Math.max(0, at - since))

/** It has lasted as long as it was to, or as long as it can. */
export const isOver = (state: WatchState, lasts: number | null, at: Seconds): boolean =>
  state.since !== null && (watchedFor(state, at) >= (lasts ?? mostSeconds) - 1e-9 || state.raw.length >= mostConversions)

/** Smallest and largest value and the dropouts up to now, the one that goes on among them. */
export const watchedUntil = (state: WatchState, at: Seconds): WatchState => closeOut(commit(state), at)
