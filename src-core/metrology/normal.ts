/** The standard normal distribution. */
import { whereItReaches } from './root'

export const normalDensity = (z: number): number => Math.exp(-z * z / 2) / Math.sqrt(2 * Math.PI)

/** From here on the continued fraction of the tail converges faster than the series about zero, and keeps small tails exact. */
const tailFrom = 3
const tailTerms = 80

/** Beyond z > 3: φ(z) / (z + 1/(z + 2/(z + 3/…))); Abramowitz and Stegun, 26.2.14 (number from memory). */
const upperTail = (z: number): number => {
  let fraction = z
  for (let i = tailTerms; i >= 1; i -= 1) fraction = z + i / fraction
  return normalDensity(z) / fraction
}

/** Φ(z): the share below z. Series φ(z)·(z + z³/3 + z⁵/15 + …); Abramowitz and Stegun, 26.2.11 (number from memory). */
export const normalShare = (z: number): number => {
  if (z > tailFrom) return 1 - upperTail(z)
  if (z < -tailFrom) return upperTail(-z)
  let [term, sum] = [z, z]
  for (let n = 3; Math.abs(term) > 1e-18; n += 2) {
    term *= z * z / n
    sum += term
  }
  return 0.5 + normalDensity(z) * sum
}

/** z below which the share p lies, 0 < p < 1. */
export const normalQuantile = (p: number): number => (p > 0.5 ? -normalQuantile(1 - p) : whereItReaches(normalShare, p, -39, 0.1))
