/** Student's t and Fisher's F: how far a mean strays whose scatter is itself only estimated, and whether two scatters differ. */
import { incompleteBeta } from './incomplete-beta'
import { normalQuantile, normalShare } from './normal'
import { whereItReaches } from './root'

/** From here on the expansion about the normal quantile is exact to 1e-12. */
const manyDegrees = 5_000

/** Cornish and Fisher's expansion of the quantile; Abramowitz and Stegun, 26.7.5 (number and coefficients from memory, held to the exact one by a test). */
const expanded = (z: number, degrees: number): number => {
  const g1 = (z ** 3 + z) / 4
  const g2 = (5 * z ** 5 + 16 * z ** 3 + 3 * z) / 96
  const g3 = (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / 384
  return z + g1 / degrees + g2 / degrees ** 2 + g3 / degrees ** 3
}

/** The share below t. `degrees` > 0, whole or not; Infinity is the normal distribution. */
export const studentShare = (t: number, degrees: number): number => {
  if (degrees === Infinity) return normalShare(t)
  const square = t * t
  // About zero from the middle, far out from the tail: neither loses digits in a difference from 1.
  if (square < degrees) return 0.5 + Math.sign(t) * incompleteBeta(square / (degrees + square), 0.5, degrees / 2) / 2
  const tail = incompleteBeta(degrees / (degrees + square), degrees / 2, 0.5) / 2
  return t > 0 ? 1 - tail : tail
}

/** t below which the share p lies, 0 < p < 1. */
export const studentQuantile = (p: number, degrees: number): number => {
  if (p < 0.5) return -studentQuantile(1 - p, degrees)
  const z = p === 0.5 ? 0 : normalQuantile(p)
  if (degrees === Infinity || z === 0) return z
  if (degrees >= manyDegrees) return expanded(z, degrees)
  let high = 2 * z + 1
  while (studentShare(high, degrees) < p) high *= 4
  return whereItReaches((t) => studentShare(t, degrees), p, 0, high)
}

/** t within ± which the share p lies: the coverage factor of JCGM 100:2008, G.3.2. */
export const studentFactor = (p: number, degrees: number): number => studentQuantile((1 + p) / 2, degrees)

/** How likely a ratio of two variances of one scatter is this large or larger. */
export const varianceRatioTail = (ratio: number, above: number, below: number): number =>
  incompleteBeta(below / (below + above * ratio), below / 2, above / 2)
