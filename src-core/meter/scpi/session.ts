/**
 * Speaks with an instrument in SCPI-1999 over IEEE 488.2: one numbered message at a time. Pure: (state, input) → { state, outputs }.
 * An answer that does not begin with the number of the open question is none, however it looks.
 */
import { seconds, type Seconds } from '../../quantity/units'
import {
  isOwnFault, noErrorQueueWords, noReadingWords, notDescribedWords, readingErrorWords, refusedWords, restoringErrorWords, stubbornWords, unansweredWords, waitingErrorsWords,
} from './error-words'
import { doubtfulEvery, messagesOf, nextAsk, readDueAt } from './next-ask'
import { scpiReading } from './reading'
import { functionKey, quotedText, readError, replyUnits } from './replies'
import { allUnsure, functionQuery, keyOf, unsure, type Ask, type ScpiInput, type ScpiOutput, type ScpiSession, type Takes, type WantedSetting } from './session-state'

export type ScpiStep = { state: ScpiSession; outputs: ScpiOutput[] }

const step = (state: ScpiSession, ...outputs: ScpiOutput[]): ScpiStep => ({ state, outputs })
const reject = (state: ScpiSession, why: string): ScpiStep => step(state, { kind: 'reject', why })
const then = (before: ScpiStep, next: (state: ScpiSession) => ScpiStep): ScpiStep => {
  const done = next(before.state)
  return { state: done.state, outputs: [...before.outputs, ...done.outputs] }
}

/** So many errors are read at one time; a queue that never ends is the instrument's fault. */
const mostErrors = 20
/** A meter that took a function so often and measured another is left to the technician. */
const mostStubborn = 3
const mostNameLength = 120

const cannotSet = (state: ScpiSession, takes: Takes): ScpiOutput[] => {
  if (!('function' in takes) || state.wanted === null || keyOf(state.description, state.wanted.function) !== takes.function) return []
  return [{ kind: 'cannot-set', function: state.wanted.function }]
}

const taken = (state: ScpiSession, takes: Takes): ScpiSession => {
  if ('function' in takes) return { ...state, now: takes.function }
  if ('rangeOf' in takes) return { ...state, ranges: { ...state.ranges, [takes.rangeOf]: takes.mark } }
  return { ...state, others: { ...state.others, [takes.query]: takes.now } }
}

/** The queue is empty: what the errors mean for what was asked or set. */
const conclude = (before: ScpiSession): ScpiStep => {
  const { after, seen, timedOut } = before.errors ?? { after: null, seen: [], timedOut: false }
  const state: ScpiSession = { ...before, errors: null }
  if (after === null) return seen.length === 0 ? step(state) : step(state, { kind: 'trouble', text: waitingErrorsWords(seen) })
  switch (after.kind) {
    case 'note': {
      const own = seen.filter(isOwnFault)
      const told: ScpiOutput[] = own.length > 0 ? [{ kind: 'trouble', text: waitingErrorsWords(own) }] : []
      const tries = (state.tries[after.query] ?? 0) + 1
      const unknown = seen.length > own.length || !timedOut || tries > state.framing.retries
      return step({ ...state, tries: { ...state.tries, [after.query]: tries }, noted: unknown ? { ...state.noted, [after.query]: null } : state.noted }, ...told)
    }
    case 'set': {
      if (seen.length === 0 && !timedOut) return step(taken(state, after.takes))
      const tries = (state.tries[after.command] ?? 0) + 1
      // Whether it was taken is not known: it is set again.
      if (seen.length === 0 && tries <= state.framing.retries) return step({ ...state, tries: { ...state.tries, [after.command]: tries } })
      const text = seen.length === 0 ? unansweredWords(after.command) : after.restoring ? restoringErrorWords(after.command, seen) : refusedWords(after.command, seen)
      return step({ ...state, refused: [...state.refused, after.command] }, { kind: 'trouble', text }, ...cannotSet(state, after.takes))
    }
    case 'read': {
      const unread = state.unread + 1
      const told: ScpiOutput[] = seen.length === 0 ? [] : [{ kind: 'trouble', text: readingErrorWords(seen) }]
      const silent = unread > state.framing.retries && !state.silent
      if (silent) told.push({ kind: 'silent', text: noReadingWords(state.framing.timeoutSeconds, state.late > 0) })
      return step({ ...state, unread, silent: state.silent || silent }, ...told)
    }
    case 'identify': case 'errors': return step(state)
  }
}

/** The meter has no error queue, or its answers make no sense. */
const withoutQueue = (before: ScpiSession, ask: Ask): ScpiStep => {
  const errors = { after: before.errors?.after ?? (ask.kind === 'set' ? ask : null), seen: before.errors?.seen ?? [], timedOut: false }
  return then(step(before, { kind: 'trouble', text: noErrorQueueWords }), (state) => conclude({ ...state, errors }))
}

const onIdentity = (before: ScpiSession, rest: string): ScpiStep => {
  const [, old = '', name = ''] = /^(\d{1,3});(.*)$/.exec(rest) ?? []
  const reply = name.trim().slice(0, mostNameLength)
  const printable = [...reply].every((character) => character >= ' ' && character <= '~')
  if (reply === '' || !printable) return reject({ ...before, doubtful: true }, 'the meter does not say who it is')
  if (reply === before.identity || (before.identity === null && before.claims?.reply === reply)) {
    const { claims, stranger } = before
    const state: ScpiSession = {
      ...before, proven: true, identity: reply, stranger: null, doubtful: false, claims: null, eventStatus: before.eventStatus ?? claims?.eventStatus ?? old,
    }
    return step(state, { kind: 'identified', reply }, ...(stranger === null ? [] : [{ kind: 'same-again' } as const]))
  }
  // A name that is new has to be said twice: one that was damaged on its way must not stand for the instrument.
  if (before.claims?.reply !== reply && before.stranger !== reply) return step({ ...before, doubtful: false, claims: { reply, eventStatus: old } })
  const state: ScpiSession = { ...before, stranger: reply, doubtful: true, claims: null, errors: { after: null, seen: [], timedOut: false } }
  // Nothing of a stranger is touched but the register that carried the number.
  const put: ScpiOutput = { kind: 'send', messages: [`*ESE ${before.claims?.eventStatus ?? old}`] }
  return before.stranger === reply ? step(state, put) : step(state, put, { kind: 'another', was: before.identity ?? '', is: reply })
}

const onError = (before: ScpiSession, ask: Ask, rest: string): ScpiStep => {
  const error = readError(rest)
  const open = before.errors ?? { after: ask.kind === 'set' ? ask : null, seen: [], timedOut: false }
  if (error === null) return withoutQueue({ ...before, errors: open }, ask)
  if (error.code === 0) return conclude({ ...before, errors: open })
  const errors = { ...open, seen: [...open.seen, error] }
  return errors.seen.length >= mostErrors ? conclude({ ...before, errors }) : step({ ...before, errors })
}

/** The meter measures something else than it was set to, or than the question supposed. */
const onOtherFunction = (before: ScpiSession, shows: string): ScpiStep => {
  const key = functionKey(shows)
  const state: ScpiSession = { ...before, now: key }
  const wanted = state.wanted === null ? null : keyOf(state.description, state.wanted.function)
  if (wanted === null || before.now !== wanted) return step(state)
  const stubborn = state.stubborn + 1
  if (stubborn < mostStubborn) return step({ ...state, stubborn })
  const command = `:SENS:FUNC "${wanted}"`
  if (state.refused.includes(command)) return step(state)
  return step({ ...state, refused: [...state.refused, command] }, { kind: 'trouble', text: stubbornWords(wanted, quotedText(shows) ?? shows) }, ...cannotSet(state, { function: wanted }))
}

const onValue = (before: ScpiSession, ask: Extract<Ask, { kind: 'read' }>, rest: string, raw: string, at: Seconds): ScpiStep => {
  const units = replyUnits(rest)
  const { range, resolution, temperature } = ask.beside
  const expected = 3 + Number(range) + Number(resolution) + Number(temperature)
  if (units === null || units.length !== expected) return reject({ ...before, errors: { after: ask, seen: [], timedOut: false } }, 'the answer has not the parts asked for')
  const [shows = '', value = '', after = '', ...others] = units
  const key = functionKey(shows)
  if (key === null || functionKey(after) !== key || key !== ask.key) {
    const told: ScpiOutput[] = key === null && shows === after ? [{ kind: 'trouble', text: notDescribedWords(quotedText(shows) ?? shows) }] : []
    return then(onOtherFunction(before, after), (state) => step(state, { kind: 'reject', why: `the meter measures ${after.slice(0, 24)}, which was not asked` }, ...told))
  }
  const mark = before.ranges[key]
  const auto = mark === undefined || mark === unsure ? null : mark === 'auto'
  const reading = scpiReading(before.description, key, [value, ...others], ask.beside, auto, at, raw)
  const state: ScpiSession = { ...before, unread: 0, stubborn: 0, silent: false }
  return 'reject' in reading ? reject(state, reading.reject) : step(state, { kind: 'reading', reading })
}

const onAnswer = (before: ScpiSession, ask: Ask, rest: string | null, raw: string, at: Seconds): ScpiStep => {
  const state: ScpiSession = { ...before, open: null, failures: 0 }
  // The number alone: the rest of the message was refused, and the queue says why.
  if (rest === null) {
    if (ask.kind === 'set' || ask.kind === 'errors') return withoutQueue(state, ask)
    return step({ ...state, errors: { after: ask, seen: [], timedOut: false } })
  }
  switch (ask.kind) {
    case 'identify': return onIdentity(state, rest)
    case 'errors': case 'set': return onError(state, ask, rest)
    case 'note': {
      const text = rest.trim()
      const now = ask.query === functionQuery ? functionKey(text) : state.now
      return step({ ...state, now, noted: { ...state.noted, [ask.query]: text } })
    }
    case 'read': return onValue(state, ask, rest, raw, at)
  }
}

/** "37;…", or "37" alone; the answer to who it is has the register's old value before its number. */
const numbered = (text: string, ask: Ask, tag: number): { rest: string | null } | 'late' | 'none' => {
  const [, first = '', rest] = /^\s*\+?(\d{1,3})\s*(?:;(.*))?$/.exec(text) ?? []
  if (first === '') return 'none'
  if (ask.kind !== 'identify') return Number(first) === tag ? { rest: rest ?? null } : 'late'
  const [, own = '', name] = /^\s*\+?(\d{1,3})\s*(?:;(.*))?$/.exec(rest ?? '') ?? []
  return own !== '' && Number(own) === tag ? { rest: name === undefined ? null : `${first};${name}` } : 'late'
}

const onLine = (state: ScpiSession, text: string, raw: string, at: Seconds): ScpiStep => {
  const { open } = state
  if (open === null) return reject({ ...state, late: state.late + 1 }, 'an answer that nobody waits for')
  const answer = numbered(text, open.ask, open.tag)
  if (answer === 'none') return reject(state, 'no answer to a numbered question')
  if (answer === 'late') return reject({ ...state, late: state.late + 1 }, 'an answer to an earlier question')
  return onAnswer(state, open.ask, answer.rest, raw, at)
}

/** No whole answer in time: the queue is read and the instrument says anew who it is; what it was set to is no longer sure. */
const onTimeOut = (before: ScpiSession, ask: Ask): ScpiStep => {
  if (before.leaving === 'restoring') return step({ ...before, open: null, leaving: 'left' }, { kind: 'left' })
  const failures = before.failures + 1
  const errors = ask.kind === 'identify' || ask.kind === 'errors' ? before.errors ?? { after: null, seen: [], timedOut: true } : { after: ask, seen: [], timedOut: true }
  const state: ScpiSession = {
    ...before, open: null, failures, errors, proven: false, doubtful: false, claims: null, ranges: allUnsure(before.ranges),
  }
  const unasked = (state.tries['errors'] ?? 0) + 1
  if (ask.kind === 'errors' && failures <= state.framing.retries) {
    const counted = { ...state, tries: { ...state.tries, errors: unasked } }
    if (unasked > state.framing.retries) return withoutQueue(counted, ask)
    return step(counted)
  }
  return failures > state.framing.retries && !state.silent ? step({ ...state, silent: true }, { kind: 'silent', text: null }) : step(state)
}

/** Sends what comes next, if nothing is open. */
const goOn = (state: ScpiSession, at: Seconds): ScpiStep => {
  if (state.open !== null) return step(state)
  const ask = nextAsk(state, at)
  if (ask === null) {
    if (state.leaving !== 'restoring') return step(state)
    const register: ScpiOutput[] = state.eventStatus === null ? [] : [{ kind: 'send', messages: [`*ESE ${state.eventStatus}`] }]
    return step({ ...state, leaving: 'left' }, ...register, { kind: 'left' })
  }
  const tag = state.tag % 255 + 1
  // The first of all is preceded by an empty message: it ends what somebody left half said on this line.
  const lead = state.identity === null && state.failures === 0 && ask.kind === 'identify' ? [''] : []
  const readAt = ask.kind === 'read' || ask.kind === 'identify' ? at : state.readAt
  return step({ ...state, tag, readAt, open: { ask, tag, sentAt: at } }, { kind: 'send', messages: [...lead, ...messagesOf(ask, tag)] })
}

/** A range that was set because the meter hunted stays for the step. */
const wantedNow = (before: WantedSetting | null, next: WantedSetting | null): WantedSetting | null =>
  (before !== null && next !== null && before.step === next.step && before.function === next.function && before.range !== 'auto' ? { ...next, range: before.range } : next)

const leave = (state: ScpiSession): ScpiStep => {
  if (state.leaving !== 'no') return step(state)
  // Nothing was set yet, or it is another instrument: nothing to put back.
  if (state.identity === null || state.stranger !== null) return step({ ...state, leaving: 'left', open: null }, { kind: 'left' })
  return step({ ...state, leaving: 'restoring', wanted: null })
}

const rounding = 1e-9

/** When a tick is next of use; null: nothing is waited for. */
export const scpiWakesAt = (state: ScpiSession): Seconds | null => {
  if (state.leaving === 'left') return null
  if (state.open !== null) return seconds(state.open.sentAt + state.framing.timeoutSeconds)
  return seconds(state.doubtful ? (state.readAt ?? 0) + doubtfulEvery : readDueAt(state))
}

const take = (state: ScpiSession, input: ScpiInput): ScpiStep => {
  switch (input.kind) {
    case 'line': return state.leaving === 'left' ? step(state) : onLine(state, input.text, input.raw, input.at)
    case 'want': return step({ ...state, wanted: wantedNow(state.wanted, input.wanted), stubborn: input.wanted?.function === state.wanted?.function ? state.stubborn : 0 })
    case 'leave': return leave(state)
    case 'tick':
      return state.open !== null && input.at >= state.open.sentAt + state.framing.timeoutSeconds - rounding ? onTimeOut(state, state.open.ask) : step(state)
  }
}

/** Never throws. Takes microseconds. */
export const scpiSession = (state: ScpiSession, input: ScpiInput): ScpiStep => then(take(state, input), (next) => goOn(next, input.at))
