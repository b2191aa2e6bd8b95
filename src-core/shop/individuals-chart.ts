/** The chart of single values in their order: where they lie usually, and which say that something has changed. */

/** Of two values in a row: what their difference is on average in standard deviations, and its upper limit in mean differences (e-Handbook 6.3.2.2, from memory). */
const d2 = 1.128
const d4 = 3.267
/** So many values in a row on one side of the centre are no chance: rule 4 of the Western Electric rules, e-Handbook 6.3.2 (from memory). */
const inARow = 8

export type Signal = 'beyond-limits' | 'one-side'
/** `signals`: by the place of the value in its list; null: nothing about it. The unit of the values. */
export type IndividualsChart = { centre: number; low: number; high: number; meanRange: number; highestRange: number; signals: (Signal | null)[] }

/**
 * X and moving range: NIST/SEMATECH e-Handbook, 6.3.2.2 (from memory). In the order the values were taken. Null for fewer than two. A value that only
 * rounding moves off a centre without scatter is not beyond it.
 */
export const individualsChart = (values: readonly number[]): IndividualsChart | null => {
  if (values.length < 2) return null
  const centre = values.reduce((sum, x) => sum + x, 0) / values.length
  const ranges = values.slice(1).map((x, at) => Math.abs(x - (values[at] ?? x)))
  const meanRange = ranges.reduce((sum, r) => sum + r, 0) / ranges.length
  const reach = 3 * meanRange / d2
  const least = 1e-12 * Math.abs(centre)
  let side = 0
  let run = 0
  const signals = values.map((x): Signal | null => {
    const off = Math.abs(x - centre) <= least ? 0 : Math.sign(x - centre)
    run = off !== 0 && off === side ? run + 1 : off === 0 ? 0 : 1
    side = off
    return Math.abs(x - centre) > reach + least ? 'beyond-limits' : run >= inARow ? 'one-side' : null
  })
  return { centre, low: centre - reach, high: centre + reach, meanRange, highestRange: d4 * meanRange, signals }
}
