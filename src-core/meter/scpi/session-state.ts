/** What a SCPI session remembers of its instrument, and the questions and settings it sends. */
import type { Seconds } from '../../quantity/units'
import type { MeterDescription } from '../description'
import type { ScpiFraming } from '../framing'
import type { MeterFunction, Reading } from '../reading'
import type { Beside } from './reading'
import type { ScpiError } from './replies'

/** What the run's step asks for. `about`: the largest value it expects, SI, should the meter have to be told a range. */
export type WantedSetting = { step: string; function: MeterFunction; range: 'auto' | number; about: number | null }

/** One exchange. Whatever is sent with it, its answer begins with its own number. */
export type Ask =
  | { kind: 'identify' }
  /** The oldest error in the instrument's queue. */
  | { kind: 'errors' }
  /** How it was found, to be put back so; null as answer: it does not know the question. */
  | { kind: 'note'; query: string }
  /** A setting, with the first error after it. `takes`: what holds once it is taken. */
  | { kind: 'set'; command: string; takes: Takes; restoring: boolean }
  | { kind: 'read'; key: string; beside: Beside }

export type Takes = { function: string } | { rangeOf: string; mark: string } | { query: string; now: string }

export type ScpiSession = {
  description: MeterDescription
  framing: ScpiFraming
  /** Number of the last message, 1 to 255. */
  tag: number
  open: { ask: Ask; tag: number; sentAt: Seconds } | null
  /** The error queue is to be read until it is empty, because of `after` (null: the session began). */
  errors: { after: Ask | null; seen: ScpiError[]; timedOut: boolean } | null
  /** Time-outs in a row; readings in a row that did not come; how often each question timed out though the meter lives. */
  failures: number
  unread: number
  tries: Record<string, number>
  silent: boolean
  late: number
  /** Who it said it is; false after a time-out: then it is asked anew before anything counts. */
  identity: string | null
  proven: boolean
  /** What it said once, not yet twice, and its event status enable register then. */
  claims: { reply: string; eventStatus: string } | null
  /** Another instrument answers in its place. */
  stranger: string | null
  /** Its last answer to who it is was not the right one: there is no hurry to ask again. */
  doubtful: boolean
  /** The event status enable register as found; it carries the numbers of our messages. */
  eventStatus: string | null
  noted: Record<string, string | null>
  /** What stands now, as far as known: function, and each one's range setting. */
  now: string | null
  ranges: Record<string, string>
  /** Values of other settings now. */
  others: Record<string, string>
  wanted: WantedSetting | null
  refused: string[]
  /** How often the meter took a function and measured another one. */
  stubborn: number
  readAt: Seconds | null
  leaving: 'no' | 'restoring' | 'left'
}

export type ScpiInput =
  | { kind: 'tick'; at: Seconds }
  /** One line without its delimiter; `raw` its hex. */
  | { kind: 'line'; text: string; raw: string; at: Seconds }
  | { kind: 'want'; wanted: WantedSetting | null; at: Seconds }
  /** Put back what was found, and take nothing more. */
  | { kind: 'leave'; at: Seconds }

export type ScpiOutput =
  /** Program messages, each to be ended by the delimiter. */
  | { kind: 'send'; messages: string[] }
  | { kind: 'reading'; reading: Reading }
  | { kind: 'reject'; why: string }
  /** Each time it says who it is, as the instrument that was connected. */
  | { kind: 'identified'; reply: string }
  | { kind: 'another'; was: string; is: string }
  /** The instrument first connected is back in its place. */
  | { kind: 'same-again' }
  /** What the meter refused or reported, in a sentence. */
  | { kind: 'trouble'; text: string }
  /** The app cannot set this function: the technician has to. */
  | { kind: 'cannot-set'; function: MeterFunction }
  /** Null: it answers nothing. */
  | { kind: 'silent'; text: string | null }
  | { kind: 'left' }

export const functionQuery = ':SENS:FUNC?'
export const triggerQuery = ':TRIG:SOUR?'
export const continuousQuery = ':INIT:CONT?'
export const autoQuery = (key: string): string => `:SENS:${key}:RANG:AUTO?`
export const rangeQuery = (key: string): string => `:SENS:${key}:RANG?`
export const resolutionQuery = (key: string): string => `:SENS:${key}:RES?`

export const keyOf = (description: MeterDescription, wanted: MeterFunction): string | null =>
  Object.entries(description.functions).find(([, { is }]) => is === wanted)?.[0] ?? null

/** Boolean response data: 1 or 0; some write it out. */
export const isOn = (text: string | null | undefined): boolean => text === '1' || text?.toUpperCase() === 'ON'

/** @param firstTag 1 to 255; let it differ from one start of the app to the next, so that no old answer fits. */
export const startScpi = (description: MeterDescription, framing: ScpiFraming, firstTag: number): ScpiSession => ({
  description, framing, tag: firstTag, open: null, errors: { after: null, seen: [], timedOut: false }, failures: 0, unread: 0, tries: {}, silent: false, late: 0,
  identity: null, proven: false, claims: null, stranger: null, doubtful: false, eventStatus: null, noted: {}, now: null, ranges: {}, others: {}, wanted: null, refused: [],
  stubborn: 0, readAt: null, leaving: 'no',
})

/** What stands in a range is no longer sure, though it was set. */
export const unsure = '?'

export const allUnsure = (ranges: ScpiSession['ranges']): ScpiSession['ranges'] => Object.fromEntries(Object.keys(ranges).map((key) => [key, unsure]))

/** The same cable opened anew: what was found at first is kept, for that is what is put back; who answers has to be asked again. */
export const resumeScpi = (before: ScpiSession): ScpiSession => ({
  ...before, open: null, errors: { after: null, seen: [], timedOut: false }, failures: 0, unread: 0, tries: {}, silent: false, late: 0, proven: false, claims: null, stranger: null, doubtful: false,
  ranges: allUnsure(before.ranges), others: {}, refused: [], stubborn: 0, readAt: null, leaving: 'no',
})
