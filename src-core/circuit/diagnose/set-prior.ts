/** How likely a set of faulty parts is before any reading, and sums over all sets that contain a given one. */

/** Probability of 0, 1, 2, … faulty parts. */
export type CountPrior = readonly number[]

/** 1 to 5 faults equally often (circuit.md), and a board with nothing wrong as often as any of them. */
export const usualCounts: CountPrior = [1 / 6, 1 / 6, 1 / 6, 1 / 6, 1 / 6, 1 / 6]

/** Elementary symmetric polynomials e_0 … e_most of the weights: e_m is the sum over all choices of m of them of their product. */
export const elementary = (weights: ArrayLike<number>, most: number): Float64Array => {
  const e = new Float64Array(most + 1)
  e[0] = 1
  for (let at = 0; at < weights.length; at += 1) {
    const w = weights[at] ?? 0
    if (w === 0) continue
    for (let m = most; m >= 1; m -= 1) e[m] = (e[m] ?? 0) + w * (e[m - 1] ?? 0)
  }
  return e
}

/** The same without one of the weights that went into it. */
export const elementaryWithout = (e: Float64Array, weight: number): Float64Array => {
  const left = new Float64Array(e.length)
  left[0] = 1
  // Division loses figures where one weight dwarfs the rest; a sum of positive terms cannot be negative.
  for (let m = 1; m < e.length; m += 1) left[m] = Math.max(0, (e[m] ?? 0) - weight * (left[m - 1] ?? 0))
  return left
}

/**
 * What a set of n faults with product of weights w is worth: w · perSet[n]. Given their number, sets are as likely as the product of their
 * parts' weights (conditional Poisson sampling; Hájek 1964, from memory).
 */
export const perSet = (counts: CountPrior, weights: readonly number[]): Float64Array => {
  const e = elementary(weights, counts.length - 1)
  return Float64Array.from(counts, (chance, n) => ((e[n] ?? 0) > 0 ? chance / (e[n] ?? 1) : 0))
}

/** Sum over all sets made of `has` given parts and any of those with these odds; the product over the given parts is left to the caller. */
export const sumOver = (worth: Float64Array, has: number, e: Float64Array): number => {
  let sum = 0
  for (let m = 0; has + m < worth.length; m += 1) sum += (worth[has + m] ?? 0) * (e[m] ?? 0)
  return sum
}

/** Probability of each site being faulty before any reading. */
export const beforeReading = (counts: CountPrior, weights: readonly number[]): Float64Array => {
  const worth = perSet(counts, weights)
  const e = elementary(weights, counts.length - 1)
  return Float64Array.from(weights, (weight) => weight * sumOver(worth, 1, elementaryWithout(e, weight)))
}

const oddsOf = (probability: number): number => probability / (1 - probability)

/**
 * What a good part's odds are held against (Thresholds.goodShare): what they were before any reading; where the shop's history makes the part rarer than
 * usual, less, so that the readings speak for it as loudly as without history. A part is good by what was read, never by what failed on other boards.
 */
export const heldAgainst = (before: Float64Array, usual: Float64Array, { goodUpTo, goodShare }: { goodUpTo: number; goodShare: number }): Float64Array => before.map((own, site) => {
  const rarer = oddsOf(own) / oddsOf(usual[site] ?? own)
  if (!(rarer < 1)) return own
  const odds = Math.min(oddsOf(own), rarer * oddsOf(goodUpTo) / goodShare)
  return odds / (1 + odds)
})
