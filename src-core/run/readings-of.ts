/** The readings file of a run: one entry for each step whose value stands, at its two points on the board. */
import { sameState } from '../board/part-state'
import type { FileReading, ReadingsFile } from '../circuit/readings-file'
import type { AirPattern } from '../meter/instrument'
import { withoutDust } from '../quantity/plain-figures'
import { boardStateOf, foundAs } from './board-state'
import { elsewhereOf, isVoltsElsewhere, readElsewhere } from './elsewhere'
import type { MeasurePlanStep, Plan } from './plan'
import { canBeRead } from './off-its-pad'
import { standingTouch } from './standing'
import { stepState, type Captured, type Learned, type RunState } from './state'

type Touch = Captured | Learned

/** What the open leads of the meter showed in this function before the touch; null where it was not learned, or another meter came since. */
const apartBefore = (state: RunState, touch: Touch): AirPattern['apart'] | null => {
  const before = state.events.filter(({ seq }) => seq < touch.seq)
  const other = before.findLast((event) => event.kind === 'meter-back' && !event.same)?.seq ?? 0
  const learned = before.findLast((event): event is Captured => event.kind === 'captured' && event.step === `prepare/leads-apart/${touch.function}`)
  if (learned !== undefined && learned.seq > other) {
    return typeof learned.value === 'number' ? { from: learned.value, to: learned.value } : 'overload'
  }
  return other > 0 ? null : state.started.meter?.air.find((pattern) => pattern.function === touch.function)?.apart ?? null
}

/**
 * In diode test some meters show a figure with the leads apart, the volts they drive. Such a value, confirmed as open, says no more
 * than that the junction takes at least that: an overload with that ceiling. A meter that shows an overload there leaves it unknown.
 */
const openInDiode = (state: RunState, touch: Touch): Pick<FileReading, 'value' | 'ceiling'> | null => {
  if (touch.function !== 'diode' || typeof touch.value !== 'number' || (touch.evidence !== 'confirmed' && touch.evidence !== 'proven')) return null
  const apart = apartBefore(state, touch)
  return apart === null || apart === 'overload' || apart.from <= 0 ? null : { value: 'overload', ceiling: withoutDust(Math.min(apart.from, touch.value)) }
}

const touchOf = (state: RunState, step: MeasurePlanStep): Touch | null =>
  (elsewhereOf(step) === null ? standingTouch(stepState(state, step.id)) : readElsewhere(stepState(state, step.id)))

const readingOf = (state: RunState, step: MeasurePlanStep): FileReading[] => {
  const own = stepState(state, step.id)
  const touch = touchOf(state, step)
  // Of a doubtful contact nobody knows which touch is right; a touch before a skip was never accepted; under power the board is another circuit.
  if (touch === null || own.decided === null || !('red' in step.placement)) return []
  if (own.skipped !== null || step.powered || own.decided.verdict === 'doubtful' || (own.decided.verdict === 'not-judged' && elsewhereOf(step) === null)) return []
  const at = { red: step.placement.red, black: step.placement.black, function: touch.function, evidence: touch.evidence }
  const open = openInDiode(state, touch)
  if (open !== null) return [{ ...at, ...open }]
  const uncertainty = typeof touch.value === 'number' && touch.uncertainty !== null ? { U: withoutDust(touch.uncertainty.U), k: withoutDust(touch.uncertainty.k) } : {}
  return [{ ...at, value: typeof touch.value === 'number' ? withoutDust(touch.value) : touch.value, ...uncertainty }]
}

/** As the run found it, when the step's value was taken. */
const isAsFound = (plan: Plan, state: RunState, step: MeasurePlanStep): boolean =>
  sameState(boardStateOf(plan, state, touchOf(state, step)?.seq ?? Infinity), foundAs(state))

/** DC volts elsewhere tell of a charge, not of a part; at a leg on its pad, or of a capacitor that may have been charged, a value tells nothing. */
const tellsElsewhere = (plan: Plan, state: RunState, step: MeasurePlanStep): boolean =>
  elsewhereOf(step) === null || (!isVoltsElsewhere(step) && canBeRead(plan, state, step, touchOf(state, step)?.seq))

/** Steps of the sequence, and what was measured elsewhere: the preparation measures the meter and the stores, not the parts. With a part lifted meanwhile the board is another circuit. */
export const readingsOf = (state: RunState, plan: Plan): ReadingsFile => ({
  schema: 'probewright/readings/1', board: { id: state.started.board.id, revision: state.started.board.revision }, state: foundAs(state),
  readings: [...plan.steps, ...(plan.elsewhere ?? [])].flatMap((step) => (step.kind === 'measure' && isAsFound(plan, state, step) && tellsElsewhere(plan, state, step) ? readingOf(state, step) : [])),
})
