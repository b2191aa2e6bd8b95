/** Weights of parts from how often each is faulty, and back. */
import { type CountPrior, elementary } from './set-prior'

/** Of what a board with a fault may have: counts that its parts cannot make are left out, and the rest is made 1. */
const failedOnly = (counts: CountPrior, weights: readonly number[]): number[] => {
  const parts = weights.filter((weight) => weight > 0).length
  const left = counts.map((chance, n) => (n >= 1 && n <= parts ? chance : 0))
  const total = left.reduce((sum, chance) => sum + chance, 0)
  return left.map((chance) => (total > 0 ? chance / total : 0))
}

/**
 * How likely each part is to be faulty on a board with at least one fault: the sum over n of P(n)·w·e(n−1, all others)/e(n, all), e the elementary
 * symmetric polynomials (conditional Poisson sampling; Hájek 1964, from memory). The scale of the weights does not matter.
 */
export const shareFaulty = (counts: CountPrior, weights: readonly number[]): number[] => {
  const of = failedOnly(counts, weights)
  const all = elementary(weights, of.length - 1)
  return weights.map((weight, own) => {
    if (!(weight > 0)) return 0
    const others = elementary(weights.filter((_, at) => at !== own), of.length - 2)
    return of.reduce((sum, chance, n) => (chance > 0 ? sum + chance * weight * (others[n - 1] ?? 0) / (all[n] ?? 1) : sum), 0)
  })
}

const mostRounds = 500
const closeEnough = 1e-9

/**
 * Weights under which each part is faulty as often as `shares` says, on boards with at least one fault; each is moved by what it is off by until none
 * is (iterative proportional fitting; Chen, Dempster and Liu 1994, from memory). They add up to what `from` does. Where no weights do it, as near as they came.
 */
export const fittedWeights = (counts: CountPrior, shares: readonly number[], from: readonly number[]): number[] => {
  const total = from.reduce((sum, weight) => sum + weight, 0)
  let weights = [...from]
  for (let round = 0; round < mostRounds; round += 1) {
    const now = shareFaulty(counts, weights)
    if (now.every((share, at) => Math.abs(share - (shares[at] ?? 0)) < closeEnough)) break
    const moved = weights.map((weight, at) => { const share = now[at] ?? 0; return share > 0 ? weight * (shares[at] ?? 0) / share : 0 })
    const sum = moved.reduce((whole, weight) => whole + weight, 0)
    weights = moved.map((weight) => weight * total / sum)
  }
  return weights
}
