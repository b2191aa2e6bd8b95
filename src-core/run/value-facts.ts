/** Gathers what an uncertainty budget asks about one captured value: from the meter, its leads, its scatter so far, and the board type. */
import type { CapturedValue } from '../capture/task'
import { accuracyOf } from '../meter/accuracy-of'
import type { Meter } from '../meter/instrument'
import { airAt } from '../meter/surroundings'
import type { Budget } from '../metrology/budget'
import { noScatter, pooledAt } from '../metrology/scatter'
import { valueBudget, type ValueFacts } from '../metrology/value-budget'
import type { BenchContext } from './bench'
import type { MeasurePlanStep } from './plan'

/** Mean length of a month. */
const monthMs = (365.25 / 12) * 86_400_000

const monthsSince = ({ register: { certificate } }: Pick<Meter, 'register'>, utcMs: number): number | null =>
  (certificate === null ? null : Math.max(0, (utcMs - Date.parse(certificate.calibrated)) / monthMs))

const leadOf = ({ leadCheck }: Meter, step: MeasurePlanStep, { value, shown }: CapturedValue): ValueFacts['lead'] => {
  if (step.purpose?.kind === 'leads') return 'measured'
  if (leadCheck === null) return null
  return { ohms: leadCheck.ohms, standard: leadCheck.U / 2, degrees: null, takenOff: shown !== value }
}

/** Null for an overload: it has no uncertainty. Where nobody stated the temperature at the bench, the budget says what it assumes. */
export const budgetOfValue = (context: BenchContext, step: MeasurePlanStep, value: CapturedValue, utcMs: number): Budget | { refused: string } | null => {
  const { meter, kit, scatter = noScatter } = context
  const { function: fn, range, resolution, shown } = value
  if (typeof value.value !== 'number' || typeof shown !== 'number') return null
  if (resolution === null || resolution <= 0) return { refused: 'One count of this meter is not known here, so its uncertainty cannot be told.' }
  const place = { function: fn, range }
  return valueBudget({
    function: fn, value: value.value, shown, resolution, sd: value.sd, conversions: value.conversions, independent: 1,
    repeatability: pooledAt(scatter, place, 'repeatability'), contact: pooledAt(scatter, place, 'contact'),
    accuracy: accuracyOf(meter, fn, range), conditions: meter.register.conditions, surroundings: { celsius: airAt(kit.air, utcMs).celsius, monthsSinceCalibration: monthsSince(meter, utcMs) },
    lead: leadOf(meter, step, value), board: step.adds ?? [],
  })
}
