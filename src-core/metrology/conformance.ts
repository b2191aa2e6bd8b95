/** How likely it is that what was measured lies within its limits, and what a wrong verdict would cost whom. JCGM 106:2012. */
import type { MeasuredValue, MeterFunction } from '../meter/reading'
import { shareBelow, type ValueSpread } from './coverage'
import { acceptanceInterval } from './interval'
import type { Limits, Verdict } from './limits'

/** Tolerance limits, SI; null: no limit on that side. */
export type Tolerance = { lo: number | null; hi: number | null }

/**
 * Conformance probability p_c = F(hi) − F(lo) of the value's own spread, JCGM 106:2012, 7.2 to 7.4 (clauses from memory): with a normal
 * spread Φ((hi − y)/u) − Φ((lo − y)/u). Nothing is assumed of how the parts were made before they were measured.
 */
export const conformanceProbability = (value: number, spread: ValueSpread, tolerance: Tolerance): number => 1 - beyondProbability(value, spread, tolerance)

/** 1 − p_c, from the tails themselves: a risk of one in a million is not lost in the difference from 1. */
const beyondProbability = (value: number, spread: ValueSpread, { lo, hi }: Tolerance): number => {
  const below = lo === null ? 0 : shareBelow(spread, lo - value)
  const above = hi === null ? 0 : shareBelow(spread, value - hi)
  return Math.min(1, Math.max(0, below + above))
}

export type Risk = {
  conforms: number
  /** What the verdict may be wrong about: a pass of what does not conform, or a fail of what does. */
  of: 'false-acceptance' | 'false-rejection'
  /** Specific risk: of this one value, JCGM 106:2012, 9.3 (from memory). */
  risk: number
}

/**
 * Null where the verdict stands on no figure: "open", an overload, a value with no uncertainty. There the risk is that of a tip that did
 * not touch, and capture's own rules hold it down.
 */
export const riskOf = (value: MeasuredValue, limits: Limits, fn: MeterFunction, verdict: Verdict, spread: ValueSpread | null): Risk | null => {
  if (typeof value !== 'number' || spread === null) return null
  const interval = acceptanceInterval(limits, fn)
  if (interval.kind === 'open') return null
  const beyond = beyondProbability(value, spread, interval)
  const conforms = 1 - beyond
  return verdict === 'pass' || verdict === 'conditional-pass'
    ? { conforms, of: 'false-acceptance', risk: beyond }
    : { conforms, of: 'false-rejection', risk: conforms }
}
