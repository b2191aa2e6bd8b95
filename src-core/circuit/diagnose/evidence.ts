/**
 * How well one hypothesis explains all readings together: its unknown figures and the tolerances of the parts are common to all readings and are
 * integrated over, by a linear model about a given point.
 */
import { normalDensity as density, normalShare as below } from '../../metrology/normal'

/**
 * One reading on its scale (display-scale.ts). A figure: `y` with standard deviation `sigma`. An overload: above `y`, the meter's ceiling, which
 * itself is known to `sigma`; `wrong` is the chance that an overload was shown for another cause.
 */
export type Seen = { kind: 'figure'; y: number; sigma: number } | { kind: 'above'; y: number; sigma: number; wrong: number }

/** Unknowns of a hypothesis: normal about `mean` with standard deviation `sd` before any reading. */
export type Unknowns = { mean: Float64Array; sd: Float64Array }

/** What the hypothesis predicts at `at`: reading by reading on its scale, and its slopes by the unknowns, row by row; a short row ends in zeros. */
export type Linear = { at: Float64Array; predicted: Float64Array; slopes: readonly Float64Array[] }

/** Natural logarithm of the density of the readings, and where the unknowns then lie; `strain`: half the squares that are left there. */
export type Evidence = { log: number; mean: Float64Array; strain: number }

/** Beyond this many standard deviations nothing is left. */
const farOff = 8
const shareBelow = (z: number): number => (z > farOff ? 1 : z < -30 ? 0 : below(z))

const ln2Pi = Math.log(2 * Math.PI)

/** Lower triangle of the covariance's Cholesky factor, grown a row at a time. */
class Factor {
  private readonly rows: Float64Array[] = []
  /** The factor times this is the residual. */
  readonly whitened: number[] = []
  readonly used: { slopes: Float64Array }[] = []

  constructor(private readonly variances: Float64Array) {}

  /** Covariances of a new reading with those before, as the new row of the factor without its last entry. */
  rowFor(slopes: Float64Array): Float64Array {
    const size = this.rows.length
    const row = new Float64Array(size + 1)
    for (let at = 0; at < size; at += 1) {
      const other = this.used[at]?.slopes ?? slopes
      const line = this.rows[at] ?? row
      let sum = 0
      const shared = Math.min(slopes.length, other.length)
      for (let k = 0; k < shared; k += 1) sum += (slopes[k] as number) * (other[k] as number) * (this.variances[k] as number)
      for (let k = 0; k < at; k += 1) sum -= (row[k] as number) * (line[k] as number)
      row[at] = sum / (line[at] ?? 1)
    }
    return row
  }

  /** Variance of the prediction itself, given the readings before. */
  spreadOf(slopes: Float64Array, row: Float64Array): number {
    let variance = 0
    for (let k = 0; k < slopes.length; k += 1) variance += (slopes[k] ?? 0) ** 2 * (this.variances[k] ?? 0)
    for (let k = 0; k < this.rows.length; k += 1) variance -= (row[k] ?? 0) ** 2
    return Math.max(variance, 0)
  }

  /** By how much the readings before move the prediction. */
  shiftOf(row: Float64Array): number {
    let shift = 0
    for (let k = 0; k < this.rows.length; k += 1) shift += (row[k] ?? 0) * (this.whitened[k] ?? 0)
    return shift
  }

  add(slopes: Float64Array, row: Float64Array, total: number, residual: number): void {
    const root = Math.sqrt(total)
    row[this.rows.length] = root
    this.rows.push(row)
    this.whitened.push(residual / root)
    this.used.push({ slopes })
  }

  /** Mean of the unknowns' shifts: D·Jᵀ·S⁻¹·r. */
  shifts(): Float64Array {
    const size = this.rows.length
    const alpha = new Float64Array(size)
    for (let at = size - 1; at >= 0; at -= 1) {
      let sum = this.whitened[at] ?? 0
      for (let k = at + 1; k < size; k += 1) sum -= (this.rows[k]?.[at] ?? 0) * (alpha[k] ?? 0)
      alpha[at] = sum / (this.rows[at]?.[at] ?? 1)
    }
    const moved = new Float64Array(this.variances.length)
    for (let at = 0; at < size; at += 1) {
      const slopes = this.used[at]?.slopes
      if (slopes) for (let k = 0; k < slopes.length; k += 1) moved[k] = (moved[k] ?? 0) + (slopes[k] ?? 0) * (this.variances[k] ?? 0) * (alpha[at] ?? 0)
    }
    return moved
  }
}

type Weighed = { factor: Factor; log: number; strain: number }

/**
 * Figures are taken together, exactly for a linear model; overloads one after another, each as the normal law with the mean and variance it leaves
 * (assumed-density filtering; Minka 2001, from memory). `extra` widens single readings, as a standard deviation on the scale.
 */
const weighed = (seen: readonly Seen[], { mean, sd }: Unknowns, linear: Linear, extra?: Float64Array): Weighed => {
  const factor = new Factor(Float64Array.from(sd, (one) => one * one))
  let log = 0
  let strain = 0
  const priorPrediction = (at: number, slopes: Float64Array): number => {
    let prediction = linear.predicted[at] ?? 0
    for (let k = 0; k < slopes.length; k += 1) prediction += (slopes[k] as number) * ((mean[k] as number) - (linear.at[k] as number))
    return prediction
  }
  for (const wanted of ['figure', 'above'] as const) {
    for (let at = 0; at < seen.length; at += 1) {
      const one = seen[at]
      const slopes = linear.slopes[at]
      if (!one || !slopes || one.kind !== wanted) continue
      const row = factor.rowFor(slopes)
      const variance = factor.spreadOf(slopes, row)
      const expected = priorPrediction(at, slopes) + factor.shiftOf(row)
      const noise = one.sigma ** 2 + (extra?.[at] ?? 0) ** 2
      if (one.kind === 'figure') {
        const total = variance + noise
        log -= 0.5 * (ln2Pi + Math.log(total) + (one.y - expected) ** 2 / total)
        strain += (one.y - expected) ** 2 / (2 * total)
        factor.add(slopes, row, total, one.y - expected)
        continue
      }
      const total = variance + noise
      const root = Math.sqrt(total)
      const z = (expected - one.y) / root
      const likely = (1 - one.wrong) * shareBelow(z) + one.wrong
      log += Math.log(likely)
      strain -= Math.log(likely)
      const bell = (1 - one.wrong) * density(z) / likely
      const pull = bell / root
      const bend = pull * pull + z * bell / total
      if (!(bend > 1e-9 / total) || !(variance > 0)) continue
      const left = 1 / bend - variance
      if (left > 0) factor.add(slopes, row, variance + left, pull / bend)
    }
  }
  return { factor, log, strain }
}

export const evidenceOf = (seen: readonly Seen[], unknowns: Unknowns, linear: Linear, extra?: Float64Array): Evidence => {
  const { factor, log, strain } = weighed(seen, unknowns, linear, extra)
  const moved = factor.shifts()
  return { log, strain, mean: Float64Array.from(unknowns.mean, (one, k) => one + (moved[k] ?? 0)) }
}

/** What the readings leave open of anything that follows the unknowns with these slopes: its variance. */
export const varianceLeft = (seen: readonly Seen[], unknowns: Unknowns, linear: Linear): ((slopes: Float64Array) => number) => {
  const { factor } = weighed(seen, unknowns, linear)
  return (slopes) => factor.spreadOf(slopes, factor.rowFor(slopes))
}
