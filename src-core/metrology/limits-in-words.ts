/** A step's limits as they are read out and printed: "209 Ω to 231 Ω", "at most 2.6 Ω", "open". */
import type { UnitSymbol } from '../meter/reading'
import { engineering, inWords } from '../quantity/engineering'
import { toleranceInterval } from './interval'
import type { Limits } from './limits'

/** A limit as written: the shortest figure, but at least three digits once a prefix scales it (1.00 kΩ). */
const oneLimit = (value: number, unit: UnitSymbol): string => {
  const { figure, prefix } = engineering(value, null)
  const digits = figure.replace(/\D/g, '').length
  if (prefix === '' || digits >= 3) return `${figure} ${prefix}${unit}`
  const first = Number(value.toExponential(5).split('e')[1])
  return inWords(value, unit, Number(`1e${first - 2}`))
}

/** @throws RangeError when a limit is not finite. */
export const limitsInWords = (limits: Limits, unit: UnitSymbol): string => {
  if (limits === 'open' || limits === 'short') return limits
  if ('atMost' in limits) return `at most ${oneLimit(limits.atMost, unit)}`
  if ('atLeast' in limits) return `at least ${oneLimit(limits.atLeast, unit)}`
  const [lo, hi] = toleranceInterval(limits)
  return `${oneLimit(lo, unit)} to ${oneLimit(hi, unit)}`
}
