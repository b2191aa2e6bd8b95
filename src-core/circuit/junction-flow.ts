/** What a junction of a table carries at its own voltage, and how far it may move in one step of Newton's method. */
import type { Junctions } from './circuit'

/** Filled by `junctionAt`: current, conductance of the junction itself, and current of its forward exponential; A and S. */
export type Flow = { amperes: number; siemens: number; forward: number }
export const noFlow = (): Flow => ({ amperes: 0, siemens: 0, forward: 0 })

/** Exponents below this carry nothing beside any leakage: e⁻⁶⁰ is 10⁻²⁶. */
const leastExponent = -60

/** At its own voltage `own` (what lies between its ends less seriesOhms · I), with `extra` siemens across that; the law of elements.ts. */
export const junctionAt = (j: Junctions, at: number, own: number, extra: number, flow: Flow): void => {
  const leakage = (j.leakage[at] as number) + extra
  let amperes = leakage * own
  let siemens = leakage
  let forward = 0
  if ((j.forward[at] as number) > 0) {
    const exponent = (own - (j.forwardAt[at] as number)) / (j.forwardSlope[at] as number)
    const flows = exponent < leastExponent ? 0 : (j.forward[at] as number) * Math.exp(exponent)
    forward = flows - (j.forwardZero[at] as number)
    amperes += forward
    siemens += flows / (j.forwardSlope[at] as number)
  }
  if ((j.reverse[at] as number) > 0) {
    const exponent = (-own - (j.reverseAt[at] as number)) / (j.reverseSlope[at] as number)
    const flows = exponent < leastExponent ? 0 : (j.reverse[at] as number) * Math.exp(exponent)
    amperes -= flows - (j.reverseZero[at] as number)
    siemens += flows / (j.reverseSlope[at] as number)
  }
  flow.amperes = amperes
  flow.siemens = siemens
  flow.forward = forward
}

/** Upwards in one exponential: along its logarithm, not its tangent, and never above what `most` amperes give it. */
const limited = (asked: number, from: number, atAmperes: number, at: number, slope: number, most: number, first: boolean): number => {
  if (asked - from <= slope) return asked
  const highest = at + slope * Math.log(most / atAmperes + Math.exp(-at / slope))
  if (first) return Math.min(asked, Math.max(highest, from))
  const base = Math.max(from, highest - 12 * slope)
  if (asked <= base) return asked
  return Math.min(base + slope * Math.log1p((asked - base) / slope), Math.max(highest, from))
}

/**
 * Where a junction at `own` goes when the linearised circuit asks for `asked`. With one source no branch carries more than the source
 * gives, `most`; in the `first` step from nothing it may go there at once.
 */
export const limitedMove = (j: Junctions, at: number, own: number, asked: number, most: number, first: boolean): number => {
  if (asked > own && (j.forward[at] as number) > 0) {
    return limited(asked, own, j.forward[at] as number, j.forwardAt[at] as number, j.forwardSlope[at] as number, most, first)
  }
  if (asked < own && (j.reverse[at] as number) > 0) {
    return -limited(-asked, -own, j.reverse[at] as number, j.reverseAt[at] as number, j.reverseSlope[at] as number, most, first)
  }
  return asked
}

/** The steeper of its two slopes, V. */
export const steepest = (j: Junctions, at: number): number =>
  ((j.reverse[at] as number) > 0 ? Math.min(j.forwardSlope[at] as number, j.reverseSlope[at] as number) : (j.forwardSlope[at] as number))
