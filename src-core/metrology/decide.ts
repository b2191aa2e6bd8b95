/** The verdict on one captured value: the shop's decision rule applied to the step's limits. */
import type { MeasuredValue, MeterFunction } from '../meter/reading'
import { acceptanceInterval } from './interval'
import type { DecisionRule, Limits, Verdict } from './limits'

export type DecisionContext = {
  function: MeterFunction
  /** The value lies in the meter's air pattern: what it shows with the leads apart. */
  inAir: boolean
}

/** How far inside its nearest bound a value lies; negative outside, infinite with no bound. */
const depthInside = (value: number, lo: number | null, hi: number | null): number =>
  Math.min(lo === null ? Infinity : value - lo, hi === null ? Infinity : hi - value)

/**
 * ILAC-G8:09/2019, 4.2.1 and 4.2.3 (clause numbers from memory). Simple acceptance: inside the limits, the limits
 * included, is a pass. With a guard band w = r·U: a pass is inside by at least w, a conditional pass is inside by less,
 * a conditional fail is outside by at most w, a fail is further out.
 * "open" and an overload are judged as they are: no guard band has a meaning there. Under a guard band
 * a finite value with no uncertainty is only ever conditional.
 * @throws RangeError when the limits mean nothing in this function.
 */
export const decide = (value: MeasuredValue, limits: Limits, U: number | null, rule: DecisionRule, context: DecisionContext): Verdict => {
  const interval = acceptanceInterval(limits, context.function)
  if (interval.kind === 'open') return value === 'overload' || (value !== 'negative-overload' && context.inAir) ? 'pass' : 'fail'
  if (typeof value !== 'number') return value === 'overload' && interval.overloadPasses ? 'pass' : 'fail'
  const depth = depthInside(value, interval.lo, interval.hi)
  switch (rule.kind) {
    case 'simple-acceptance':
      return depth >= 0 ? 'pass' : 'fail'
    case 'guard-band': {
      const w = U === null ? Infinity : rule.r * U
      if (depth >= 0) return depth >= w ? 'pass' : 'conditional-pass'
      return -depth <= w ? 'conditional-fail' : 'fail'
    }
  }
}
