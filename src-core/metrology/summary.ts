/** Count, mean and standard deviation of many figures, none of their digits lost. */

/** `sd` divides by n − 1; null for a single figure. The unit of the figures. */
export type Summary = { count: number; mean: number; sd: number | null }

/** A figure as whole counts of ten to the power of `place`. */
type Decimal = { counts: number; place: number }

const decimalOf = (figure: number): Decimal => {
  const [mantissa = '', power = '0'] = figure.toExponential().split('e')
  const [whole = '', places = ''] = mantissa.split('.')
  return { counts: Number(whole + places), place: Number(power) - places.length }
}

/** Powers of ten that a double holds exactly. */
const exactPower = 22

/**
 * The figures in counts of the finest place among them, as a display shows them: 10000000.3 is a hundred million and three tenths, exactly, though
 * no double holds it. Null where they reach over more digits than a double has.
 */
const inCounts = (figures: readonly number[]): { counts: number[]; place: number } | null => {
  const decimals = figures.map(decimalOf)
  const place = decimals.reduce((least, one) => Math.min(least, one.place), 0)
  if (place < -exactPower || decimals.some((one) => one.place - place > exactPower)) return null
  const counts = decimals.map((one) => one.counts * 10 ** (one.place - place))
  return counts.every(Number.isSafeInteger) ? { counts, place } : null
}

/** Two passes: the mean first, the squares about it after, with what the mean's own rounding left taken off (common practice, no source). */
const about = (figures: readonly number[]): { mean: number; squares: number } => {
  const [first = 0] = figures
  const n = figures.length
  const mean = first + figures.reduce((sum, x) => sum + (x - first), 0) / n
  const left = figures.reduce((sum, x) => sum + (x - mean), 0)
  const squares = figures.reduce((sum, x) => sum + (x - mean) ** 2, 0)
  return { mean: mean + left / n, squares: Math.max(0, squares - left ** 2 / n) }
}

/** @throws RangeError for no figures, and for one that is not finite. */
export const summaryOf = (figures: readonly number[]): Summary => {
  const count = figures.length
  if (count === 0 || !figures.every(Number.isFinite)) throw new RangeError('A summary needs at least one figure, and all of them finite.')
  const whole = inCounts(figures)
  const { mean, squares } = about(whole?.counts ?? figures)
  const per = 10 ** -(whole?.place ?? 0)
  return { count, mean: mean / per, sd: count < 2 ? null : Math.sqrt(squares / (count - 1)) / per }
}
