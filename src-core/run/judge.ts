/** From one captured value to its event: uncertainty, limits, rule and verdict, all kept with it. */
import { shows } from '../capture/air'
import { afterTouch } from '../capture/touches'
import type { CapturedValue } from '../capture/task'
import { band } from '../capture/steady'
import { decide } from '../metrology/decide'
import { standardOf } from '../metrology/check-standards'
import type { DecisionRule, Limits } from '../metrology/limits'
import { withoutDust } from '../quantity/plain-figures'
import type { BenchContext } from './bench'
import { standardLimits, uncertaintyAtTwo } from './check-run'
import type { CapturedBody, LearnedBody } from './event'
import { leadOhms } from './preparation'
import type { JudgedStep, MeasurePlanStep } from './plan'
import type { Captured } from './state'
import { budgetOfValue } from './value-facts'

const simpleAcceptance: DecisionRule = { kind: 'simple-acceptance', r: 0 }

/** On a display of 0.1 Ω a count, joined leads may read 0.0 Ω (capture.md, rule 12). */
const limitsFor = (step: JudgedStep, resolution: number | null): Limits =>
  step.purpose?.kind === 'leads' && resolution !== null && Math.abs(resolution / 0.1 - 1) < 1e-6 ? { between: [-resolution / 2, leadOhms.most] } : step.limits

type Told = Pick<CapturedBody, 'uncertainty' | 'budget' | 'noBudget'>

/** U with its budget, or the sentence on why there is none. */
const told = (found: ReturnType<typeof budgetOfValue>): Told => {
  if (found === null) return { uncertainty: null }
  if ('refused' in found) return { uncertainty: null, noBudget: found.refused }
  return { uncertainty: { U: found.U, k: found.coverage.k, basis: found.basis }, budget: found }
}

/** What the meter showed, less what is handed over. */
const leadTakenOff = ({ shown, value }: CapturedValue): Pick<CapturedBody, 'leadTakenOff'> =>
  (typeof shown !== 'number' || typeof value !== 'number' || shown === value ? {} : { leadTakenOff: withoutDust(shown - value) })

/** Said to be open by a press. A meter read by eye may show a figure where nothing is touched, as it showed when its leads were apart. */
export const isInAir = ({ meter: { air } }: Pick<BenchContext, 'meter'>, value: CapturedValue): boolean =>
  value.evidence === 'confirmed' || value.evidence === 'proven' || (value.evidence === 'typed' && shows({ ...value, flags: [], raw: '' }, air, false) === 'apart')

/** @param touch which touch of this attempt it is. */
export const judged = (context: BenchContext, step: JudgedStep, value: CapturedValue, touch: 1 | 2 | 3, utcMs: number): CapturedBody => {
  const { uncertainty, ...why } = told(budgetOfValue(context, step, value, utcMs))
  const standard = step.purpose?.kind === 'standard' ? standardOf(context.kit.checkStandards, step.purpose.standard) : null
  const limits = standard === null ? limitsFor(step, value.resolution) : standardLimits(standard, uncertaintyAtTwo({ uncertainty, ...why }))
  // The criterion has the uncertainty in it already: no guard band on top.
  const rule = standard === null ? context.rule : simpleAcceptance
  const inAir = isInAir(context, value)
  return {
    kind: 'captured', step: step.id, touch, function: value.function, range: value.range, resolution: value.resolution, unit: value.unit,
    value: value.value, median: value.median, sd: value.sd, conversions: value.conversions, seconds: value.seconds, raw: value.raw,
    ...leadTakenOff(value), uncertainty, ...why, limits, rule, verdict: decide(value.value, limits, uncertainty?.U ?? null, rule, { function: step.function, inAir }),
    evidence: value.evidence,
  }
}

/** One touch as it was read, with its uncertainty: of a point of which nothing is judged. */
export const readOnly = (context: BenchContext, step: JudgedStep, value: CapturedValue, utcMs: number): Omit<LearnedBody, 'kind' | 'step' | 'point' | 'id'> => {
  const { function: fn, range, resolution, unit, value: is, median, sd, conversions, seconds, raw, evidence } = value
  return { function: fn, range, resolution, unit, value: is, median, sd, conversions, seconds, raw, ...leadTakenOff(value), ...told(budgetOfValue(context, step, value, utcMs)), evidence }
}

type Touch = Pick<CapturedBody | Captured, 'value' | 'resolution' | 'verdict' | 'evidence'>

/** An open end, said by the person at the leads: by a press, or by typing it. */
const saidOpen = ({ evidence, value }: Touch): boolean =>
  evidence === 'confirmed' || evidence === 'proven' || (evidence === 'typed' && typeof value !== 'number')

const bandOf = (touch: Touch): number | null =>
  typeof touch.value === 'number' && touch.resolution !== null ? band(touch.value, touch.resolution) : null

export type Decision = { kind: 'again' } | { kind: 'accept' | 'doubtful'; on: number[] }

/** Rule 9 over the touches so far; a store's residual voltage is decided by one touch, for it drains while measured. */
export const decisionOn = (step: MeasurePlanStep, touches: readonly Touch[]): Decision => {
  if (step.purpose?.kind === 'store') return { kind: 'accept', on: [touches.length - 1] }
  return afterTouch(touches.map((touch) => ({ value: touch.value, band: bandOf(touch), verdict: touch.verdict, air: saidOpen(touch), moving: touch.evidence === 'moving' })))
}
