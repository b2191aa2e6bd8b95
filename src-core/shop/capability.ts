/** How well the values of good boards sit within a step's limits: Cp and Cpk. */
import type { Summary } from '../metrology/summary'
import { normalQuantile } from '../metrology/normal'

/** The limits in SI; null: none on that side. */
export type Bounds = { low: number | null; high: number | null }

/**
 * `cp`: null with one limit only. `cpk` with the bounds it lies within at 95 %. For values about normally distributed.
 */
export type Capability = { cp: number | null; cpk: number; cpkLow: number; cpkHigh: number }

/**
 * Cp = (USL − LSL)/6s, Cpk = min(USL − x̄, x̄ − LSL)/3s, and Bissell's interval Cpk ± z·√(1/(9n) + Cpk²/(2(n − 1))): NIST/SEMATECH e-Handbook, 6.1.6
 * (from memory). Null where there is no limit, one value only, or no scatter.
 */
export const capabilityOf = ({ count, mean, sd }: Summary, { low, high }: Bounds): Capability | null => {
  if (sd === null || sd === 0 || (low === null && high === null)) return null
  const cpk = Math.min(high === null ? Infinity : high - mean, low === null ? Infinity : mean - low) / (3 * sd)
  const half = normalQuantile(0.975) * Math.sqrt(1 / (9 * count) + cpk ** 2 / (2 * (count - 1)))
  return { cp: low === null || high === null ? null : (high - low) / (6 * sd), cpk, cpkLow: cpk - half, cpkHigh: cpk + half }
}
