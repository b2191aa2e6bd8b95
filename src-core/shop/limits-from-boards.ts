/** Limits of a step from what good boards read there: a statistical tolerance interval; with few boards, what the parts' tolerances say. */
import type { ComputedLimits } from '../circuit/computed-limits'
import { outward } from '../circuit/good-limits'
import { type MeasuredValue, type MeterFunction, unitOf } from '../meter/reading'
import type { Limits } from '../metrology/limits'
import { limitsInWords } from '../metrology/limits-in-words'
import { summaryOf } from '../metrology/summary'
import { toleranceFactor } from '../metrology/tolerance-factor'

/** So large a share of all good boards is to lie within, with this confidence; both in (0, 1). */
export type LimitsChoice = { share: number; confidence: number }
/** Our choice: of a hundred good boards one may be measured again. */
export const usualChoice: LimitsChoice = { share: 0.99, confidence: 0.95 }

/** Fewer boards tell their scatter so badly that the interval would let bad ones pass (k above 5.8 at the usual choice). Our choice. */
export const fewestBoards = 6

/** One value a good board. `U`: expanded uncertainty (k = 2) of the meter at these values, SI; null: not known. */
export type GoodValues = { function: MeterFunction; values: readonly MeasuredValue[]; U: number | null }
export type BoardLimits = { limits: Limits | null; from: 'boards' | 'tolerances' | 'nothing'; /** What they rest on, a sentence or two. */ says: string }

const percent = (share: number): string => `${Number((100 * share).toFixed(2))} %`

/** Functions in which nothing reads below zero. */
export const neverBelowZero: readonly MeterFunction[] = ['resistance', 'continuity', 'capacitance', 'inductance', 'frequency', 'ac-voltage', 'ac-current']

const fromTolerances = (why: string, computed: ComputedLimits | null): BoardLimits => {
  if (computed === null) return { limits: null, from: 'nothing', says: `${why} What its parts’ tolerances allow has not been computed.` }
  return 'limits' in computed ? { limits: computed.limits, from: 'tolerances', says: `${why} These limits are from the tolerances of its parts.` }
    : { limits: null, from: 'nothing', says: `${why} ${computed.refused}` }
}

const fromFigures = ({ function: what, U }: GoodValues, figures: readonly number[], { share, confidence }: LimitsChoice): BoardLimits => {
  const { count, mean, sd } = summaryOf(figures)
  const reach = (sides: 1 | 2): { scatter: number; half: number } => {
    const scatter = toleranceFactor(count, { share, confidence, sides }) * (sd ?? 0)
    return { scatter, half: Math.max(scatter, U ?? 0) }
  }
  const both = reach(2)
  const low = outward(mean - both.half, 'down')
  // Where nothing can lie below, one limit holds the share.
  const oneSided = low <= 0 && neverBelowZero.includes(what)
  const { scatter, half } = oneSided ? reach(1) : both
  const high = outward(mean + half, 'up')
  const limits: Limits = oneSided || low === high ? { atMost: high } : { between: [low, high] }
  const boards = `${percent(share)} of good boards with ${percent(confidence)} confidence, from ${count} of them: ${limitsInWords(limits, unitOf[what])}.`
  return { limits, from: 'boards', says: half > scatter ? `${boards} They scatter less than the meter’s uncertainty, so the limits are as wide as that.` : boards }
}

/**
 * Mean ± k·s with the exact k for the share and the confidence, one-sided where nothing reads below zero, never narrower than the meter's uncertainty; "open" where every board read overload.
 * @param computed what the parts' tolerances say (circuit/computed-limits.ts), for too few boards; null: not computed.
 */
export const limitsFromBoards = (good: GoodValues, computed: ComputedLimits | null, choice: LimitsChoice = usualChoice): BoardLimits => {
  const { values } = good
  const figures = values.filter((value) => typeof value === 'number')
  if (values.length < fewestBoards) return fromTolerances(`${values.length === 0 ? 'No good board was' : values.length === 1 ? 'One good board was' : `${values.length} good boards were`} measured here; ${fewestBoards} at least are needed to judge their scatter.`, computed)
  if (figures.length === 0) return { limits: 'open', from: 'boards', says: `All ${values.length} good boards read open here.` }
  if (figures.length < values.length) return fromTolerances(`${values.length - figures.length} of ${values.length} good boards read over range here and the others did not.`, computed)
  return fromFigures(good, figures, choice)
}
