/** The regularised incomplete gamma function, and the chi-square distribution made from it: what a scatter from few values may be. */
import { lnGamma } from './incomplete-beta'

const tiny = 1e-300
const mostTerms = 20_000

/** P(a, x) by its series; converges fast for x < a + 1. Abramowitz and Stegun, 6.5.29 (number from memory). */
const series = (a: number, x: number): number => {
  let [term, sum] = [1 / a, 1 / a]
  for (let n = 1; n <= mostTerms && term > sum * 1e-17; n += 1) {
    term *= x / (a + n)
    sum += term
  }
  return sum
}

/** Q(a, x) by its continued fraction, Lentz' method; for x ≥ a + 1. Abramowitz and Stegun, 6.5.31 (number from memory). */
const fraction = (a: number, x: number): number => {
  let b = x + 1 - a
  let c = 1 / tiny
  let d = 1 / b
  let value = d
  for (let n = 1; n <= mostTerms; n += 1) {
    const numerator = -n * (n - a)
    b += 2
    d = 1 / (numerator * d + b)
    c = b + numerator / c
    value *= d * c
    if (Math.abs(d * c - 1) < 1e-16) return value
  }
  throw new RangeError(`The incomplete gamma function of ${a}, ${x} did not converge.`)
}

const front = (a: number, x: number): number => Math.exp(a * Math.log(x) - x - lnGamma(a))

/** Q(a, x) = Γ(a, x)/Γ(a) for a > 0, x ≥ 0; small tails keep their digits. */
export const upperGamma = (a: number, x: number): number => {
  if (x <= 0) return 1
  return x < a + 1 ? 1 - front(a, x) * series(a, x) : front(a, x) * fraction(a, x)
}

/** The share of χ² above x. `degrees` > 0. */
export const chiSquareTail = (x: number, degrees: number): number => upperGamma(degrees / 2, x / 2)
