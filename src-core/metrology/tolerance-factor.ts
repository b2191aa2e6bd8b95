/** Statistical tolerance intervals of a normal distribution: mean ± k·s holds a share of all units, with a confidence, from n of them. */
import { chiSquareTail } from './incomplete-gamma'
import { normalDensity, normalQuantile, normalShare } from './normal'
import { whereItReaches } from './root'

/** `share` of all units within, with `confidence`; both in (0, 1). `sides`: one limit, or one at either side. */
export type Coverage = { share: number; confidence: number; sides: 1 | 2 }

/** Beyond so many standard deviations the sample's mean never lies. */
const furthest = 8.5
/** By the sides, even; more of them change no factor in its sixth digit. */
const panelsOf = { 1: 240, 2: 64 } as const

/** Simpson's rule: places and weights of an integral from `from` to `to`. */
const nodes = (from: number, to: number, panels: number): { at: number; weight: number }[] => {
  const h = (to - from) / panels
  return Array.from({ length: panels + 1 }, (_, i) => ({ at: from + i * h, weight: h / 3 * (i === 0 || i === panels ? 1 : i % 2 === 1 ? 4 : 2) }))
}

/** Half width about a mean that is off by `off` that holds `share` of the standard normal distribution. */
const halfWidth = (off: number, share: number): number =>
  whereItReaches((r) => normalShare(off + r) - normalShare(off - r), share, 0, Math.abs(off) + normalQuantile((1 + share) / 2) + 1)

/**
 * Where the sample's mean may lie (in standard deviations of the unit), how likely, and what k·s must then reach at least. `sure`: how likely the mean
 * lies so that any s will do.
 */
const means = (n: number, { share, sides }: Coverage): { sure: number; of: { weight: number; needs: number }[] } => {
  const root = Math.sqrt(n)
  if (sides === 2) return { sure: 0, of: nodes(0, furthest, panelsOf[2]).map(({ at, weight }) => ({ weight: 2 * weight * normalDensity(at), needs: halfWidth(at / root, share) })) }
  const z = normalQuantile(share)
  const from = Math.max(-furthest, -z * root)
  return { sure: normalShare(-z * root), of: nodes(from, furthest, panelsOf[1]).map(({ at, weight }) => ({ weight: weight * normalDensity(at), needs: Math.max(0, z + at / root) })) }
}

/**
 * The exact factor k for n units, by integrating over where their mean may lie; ISO 16269-6:2014 tabulates the same (from memory), and the one-sided
 * one is the quantile of the non-central t distribution with n − 1 degrees of freedom and non-centrality z_share·√n, over √n.
 * @throws RangeError for fewer than two units: one tells nothing of their scatter.
 */
export const toleranceFactor = (n: number, coverage: Coverage): number => {
  if (!(n >= 2)) throw new RangeError('A tolerance interval needs at least two units.')
  const degrees = n - 1
  const { sure, of } = means(n, coverage)
  const confidence = (k: number): number =>
    sure + of.reduce((sum, { weight, needs }) => sum + weight * chiSquareTail(degrees * (needs / k) ** 2, degrees), 0)
  let high = 4
  while (confidence(high) < coverage.confidence) high *= 2
  return whereItReaches((k) => (k === 0 ? 0 : confidence(k)), coverage.confidence, 0, high)
}
