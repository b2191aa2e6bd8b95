/** The short reckoning of an uncertainty, k = 2: for what is not measured yet, and how values were judged before budgets were kept. */
import type { Accuracy } from '../meter/instrument'
import type { MeasuredValue } from '../meter/reading'

/** U and k as in JCGM 100:2008, clause 6; the same unit as the value. */
export type ExpandedUncertainty = { U: number; k: 2; basis: 'specification' | 'generic' }

/** For a meter whose specification nobody entered: wide enough for most hand-held meters (common practice, no source). */
export const genericAccuracy: Accuracy = { percent: 1.5, counts: 5 }

/**
 * U = 2·√((a·|x| + n·count)²/3 + count²/12 + s²): the specification as a rectangular distribution (JCGM 100:2008, 4.3.7),
 * one count of resolution (F.2.2.1), and the standard deviation s of the conversions. Null for an overload, and where
 * the resolution is unknown.
 */
export const expandedUncertainty = (
  value: MeasuredValue, resolution: number | null, sd: number | null, accuracy: Accuracy | null,
): ExpandedUncertainty | null => {
  if (typeof value !== 'number' || resolution === null) return null
  const { percent, counts } = accuracy ?? genericAccuracy
  const halfWidth = (percent / 100) * Math.abs(value) + counts * resolution
  const s = sd ?? 0
  const U = 2 * Math.sqrt(halfWidth ** 2 / 3 + resolution ** 2 / 12 + s ** 2)
  return { U, k: 2, basis: accuracy === null ? 'generic' : 'specification' }
}

/** U at k = 2 of what leads show that are joined: resolution and repeatability alone, for telling whether they changed. Ω. */
export const leadCheckU = (resolution: number, sd: number | null): number => 2 * Math.sqrt(resolution ** 2 / 12 + (sd ?? 0) ** 2)
