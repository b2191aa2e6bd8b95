/** A share of cases with what it may truly be: exact, so that three cases say little and a thousand say much. */
import { incompleteBeta } from '../metrology/incomplete-beta'
import { whereItReaches } from '../metrology/root'

/** `low` to `high` holds the true share with the confidence asked for. */
export type Share = { count: number; of: number; low: number; high: number }

export const usualConfidence = 0.95

/** p below which the share `q` of a beta distribution lies. */
const betaQuantile = (q: number, a: number, b: number): number => whereItReaches((p) => incompleteBeta(p, a, b), q, 0, 1)

/**
 * Clopper and Pearson's exact interval, from the beta distribution: e-Handbook, 7.2.4.1 gives the same limits by the binomial sums (from memory).
 * @param count of `of` cases, whole, 0 ≤ count ≤ of. Nothing seen yet: from 0 to 1.
 */
export const shareOf = (count: number, of: number, confidence = usualConfidence): Share => {
  const tail = (1 - confidence) / 2
  return {
    count, of,
    low: count === 0 ? 0 : betaQuantile(tail, count, of - count + 1),
    high: count === of ? 1 : betaQuantile(1 - tail, count + 1, of - count),
  }
}
