/** From readings to one captured value: pure, (state, input) → { state, outputs }. The rules are in the files beside this one. */
import { unitOf, type Reading } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import { shows } from './air'
import { airReady, extendAir, touchSecondPoint } from './air-run'
import { airValue, conversionOf, movingValue, steadyValue } from './captured-value'
import { isCharged } from './charged'
import { beginContact, extendContact, judgeContact } from './contact'
import { noteFrame, startClock } from './conversions'
import { asksLift, differsFromHeld, liftConversions } from './lift'
import { followFrame, frameForNext, lyingFlag, standsSinceBefore } from './modes'
import { paceOf } from './pace'
import { tooCoarse } from './ranging'
import { breaksContact, isSilent } from './silence'
import type { CaptureState, Contact } from './state'
import type { CapturedValue, CaptureInput, CaptureOutput, CaptureTask, Carry } from './task'

export { captureStatus } from './status'
export { waitsLong } from './window'
export type { CaptureState } from './state'

export type Captured = { state: CaptureState; outputs: CaptureOutput[] }

/** Begins a capture. `carry`: what the capture before left; null at the start of a session or after readings went unwatched. */
export const startCapture = (task: CaptureTask, at: Seconds, carry: Carry | null): CaptureState => ({
  task, startedAt: at, clock: startClock(at), measuredConversion: carry?.measuredConversion ?? {},
  held: carry?.held ?? null, lift: { asked: asksLift(task, carry?.held ?? null), conversions: 0, different: false },
  frame: carry?.frame ?? null, moved: false, contact: null, air: null, obstacle: null, charged: null, captured: null,
})

/** What this capture leaves for the next, when its step ends or is left. */
export const carryOver = (state: CaptureState): Carry => ({
  held: state.held, frame: frameForNext(state.frame), measuredConversion: state.measuredConversion,
})

const accept = (state: CaptureState, value: CapturedValue): Captured => ({
  state: {
    ...state, captured: value, contact: null, air: null,
    held: { value: value.shown, function: value.function, wasAir: value.evidence === 'confirmed' || value.evidence === 'proven' },
    lift: { asked: !state.task.keepsContact, conversions: 0, different: false },
  },
  outputs: [{ kind: 'captured', value }],
})

const broken = (state: CaptureState): CaptureState => ({ ...state, contact: null, air: null, lift: { ...state.lift, conversions: 0 } })

/** Counts air conversions until the leads are known to have left. */
const countLift = (state: CaptureState, at: Seconds, conversion: boolean): Captured => {
  if (!state.lift.asked || !conversion) return { state, outputs: [] }
  const conversions = state.lift.conversions + 1
  if (conversions < liftConversions(paceOf(state).seconds)) {
    return { state: { ...state, lift: { ...state.lift, conversions } }, outputs: [] }
  }
  const outputs: CaptureOutput[] = state.held === null ? [] : [{ kind: 'lifted', at }]
  return { state: { ...state, held: null, lift: { asked: false, conversions: 0, different: false } }, outputs }
}

const airReading = (state: CaptureState, reading: Reading, conversion: boolean, apart: boolean): Captured => {
  const air = extendAir(state.air, reading, conversion)
  const seen = { ...state, contact: null, air }
  return apart ? countLift(seen, reading.at, conversion) : { state: seen, outputs: [] }
}

/** A finite reading while the leads have yet to leave: what stands is judged only to say that it is another value. */
const whileHeld = (state: CaptureState, contact: Contact): CaptureState => {
  const judged = judgeContact(contact, state.task, paceOf(state))
  const { count } = contact.last
  const different = judged.kind === 'steady' && state.captured === null
    && differsFromHeld(state.held, state.task.function, judged.steady.mean, count)
  return { ...state, contact, lift: { ...state.lift, conversions: 0, different: state.lift.different || different } }
}

/** `before`: time of the frame before, the earliest at which this contact can have begun. */
const finiteReading = (state: CaptureState, reading: Reading, value: number, conversion: boolean, before: Seconds): Captured => {
  if (!conversion && state.contact !== null) return { state, outputs: [] }
  const c = conversionOf({ ...reading, value })
  const contact = state.contact === null ? beginContact(c, reading.flags, before) : extendContact(state.contact, c, reading.flags)
  const outputs: CaptureOutput[] = state.contact === null && !state.lift.asked ? [{ kind: 'contact', at: reading.at }] : []
  const touched = { ...state, air: null, contact }
  if (state.lift.asked) return { state: whileHeld(touched, contact), outputs }
  const judged = judgeContact(contact, state.task, paceOf(state))
  if (judged.kind !== 'steady' || standsSinceBefore(state) || state.captured !== null) return { state: touched, outputs }
  const accepted = accept(touched, steadyValue(state.task, contact, judged.steady))
  return { state: accepted.state, outputs: [...outputs, ...accepted.outputs] }
}

/**
 * The dial stands elsewhere. A lift still counts while the meter shows the function of the value it was captured with; not behind an air
 * value, which reads the same with the leads left where they are.
 */
const wrongFunction = (state: CaptureState, reading: Reading, conversion: boolean): Captured => {
  const { obstacle, task, held } = state
  const said = obstacle?.kind === 'wrong-function' && obstacle.shows === reading.function
  const outputs: CaptureOutput[] = said ? [] : [{ kind: 'wrong-function', wanted: task.function, shows: reading.function, at: reading.at }]
  const turned: CaptureState = { ...state, contact: null, air: null, obstacle: { kind: 'wrong-function', shows: reading.function } }
  if (held === null || held.wasAir || held.function !== reading.function || shows(reading, task.air, false) !== 'apart') return { state: broken(turned), outputs }
  const lifted = countLift(turned, reading.at, conversion)
  return { state: lifted.state, outputs: [...outputs, ...lifted.outputs] }
}

/** After silence the leads may be anywhere: contact has to be seen to begin again. After a shorter gap the touch starts again. */
const afterGap = (state: CaptureState, at: Seconds): CaptureState => {
  if (isSilent(state.clock, at, paceOf(state).seconds)) {
    return { ...broken(state), lift: { ...state.lift, conversions: 0, asked: !state.task.keepsContact } }
  }
  return breaksContact(state.clock, at) ? broken(state) : state
}

const takeReading = (before: CaptureState, reading: Reading): Captured => {
  const described = reading.function === before.task.function ? before.task.conversionSeconds : null
  const noted = noteFrame(before.clock, reading, described, before.measuredConversion)
  const state: CaptureState = {
    ...afterGap(before, reading.at), clock: noted.clock, measuredConversion: noted.measured, frame: followFrame(before.frame, reading),
  }
  const flag = lyingFlag(reading.flags)
  if (flag !== null) return { state: { ...broken(state), obstacle: { kind: 'mode', flag } }, outputs: [] }
  const charge = isCharged(reading)
  if (charge !== null) {
    const outputs: CaptureOutput[] = state.charged === null ? [{ kind: 'charged', value: charge, at: reading.at }] : []
    return { state: { ...broken(state), charged: charge, obstacle: null }, outputs }
  }
  const asked = reading.function === state.task.function && reading.unit === unitOf[state.task.function]
  if (!asked) return wrongFunction(state, reading, noted.conversion)
  const clear: CaptureState = state.obstacle === null ? state : { ...broken(state), obstacle: null }
  const shown = shows(reading, state.task.air, clear.air !== null)
  if (shown !== 'finite' || typeof reading.value !== 'number') return airReading(clear, reading, noted.conversion, shown === 'apart')
  if (clear.charged !== null) return { state: broken(clear), outputs: [] }
  return finiteReading(clear, reading, reading.value, noted.conversion, before.clock.at)
}

const stopped = (state: CaptureState, at: Seconds): boolean =>
  state.captured !== null || state.obstacle !== null || state.charged !== null || state.lift.asked
  || (state.task.notBefore !== null && at < state.task.notBefore)
  || isSilent(state.clock, at, paceOf(state).seconds) || breaksContact(state.clock, at)

/** A zero on a range whose count is coarser than the limits proves nothing. */
const airTooCoarse = ({ air, task }: CaptureState): boolean => {
  const value = air?.finite.at(-1)?.value
  return value !== undefined && tooCoarse(value, air?.count ?? null, task)
}

const pressConfirm = (state: CaptureState, at: Seconds): Captured => {
  const unchanged = { state, outputs: [] }
  if (stopped(state, at)) return unchanged
  if (state.air !== null) {
    if (!airReady(state.air) || airTooCoarse(state)) return unchanged
    return accept(state, airValue(state.task, state.air, at))
  }
  if (state.contact === null || standsSinceBefore(state)) return unchanged
  const judged = judgeContact(state.contact, state.task, paceOf(state))
  return judged.kind === 'moving' && judged.resolved ? accept(state, movingValue(state.task, state.contact, at)) : unchanged
}

/** Within air that is ready: the second point is touched now. Elsewhere the touch starts again. */
const pressAgain = (state: CaptureState, at: Seconds): CaptureState => {
  if (state.captured !== null) return state
  if (!stopped(state, at) && state.task.expectsAir && state.air !== null && airReady(state.air)) {
    return { ...state, air: touchSecondPoint(state.air, at) }
  }
  // A fresh touch is one whose beginning was seen: the leads that stand now have to leave first.
  const lift = state.contact !== null ? { asked: true, conversions: 0, different: false } : state.lift
  return { ...broken(state), charged: null, moved: true, lift }
}

const takeTick = (state: CaptureState, at: Seconds): Captured => {
  if (state.obstacle?.kind === 'silent' || !isSilent(state.clock, at, paceOf(state).seconds)) return { state, outputs: [] }
  return { state: { ...broken(state), obstacle: { kind: 'silent' } }, outputs: [{ kind: 'silent', at }] }
}

/** Takes one input. Only a reading or a press captures; a tick never does. Takes microseconds; never throws. */
export const capture = (state: CaptureState, input: CaptureInput): Captured => {
  if ('reading' in input) return takeReading(state, input.reading)
  if ('tick' in input) return takeTick(state, input.tick)
  return input.press === 'confirm' ? pressConfirm(state, input.at) : { state: pressAgain(state, input.at), outputs: [] }
}
