/** Repeatability pooled from many groups of readings: one scatter, known far better than any single touch tells it. */
import { z } from 'zod'
import { varianceRatioTail } from './student'
import { summaryOf } from './summary'

/** Readings of one quantity that stood still: their standard deviation and how many there were. */
export type Group = { sd: number; count: number }

/** Standard deviation of one conversion, in SI, with its degrees of freedom and the number of groups behind it. */
export const pooled = z.strictObject({ sd: z.number().nonnegative(), degrees: z.number().int().positive(), groups: z.number().int().positive() })
export type Pooled = z.infer<typeof pooled>

/**
 * s² = Σ(n_i − 1)·s_i² / Σ(n_i − 1), with Σ(n_i − 1) degrees of freedom: JCGM 100:2008, H.5.2.5 and the NIST/SEMATECH e-Handbook, 2.5.3
 * (from memory). For groups of one meter, function and range. It is the scatter of a single conversion and is not divided by √n: what a
 * meter converts one after the other is not independent unless somebody showed it. Groups of one reading tell nothing. Null: none does.
 */
export const pooledRepeatability = (groups: readonly Group[]): Pooled | null => {
  const telling = groups.filter(({ count }) => count >= 2)
  const degrees = telling.reduce((sum, { count }) => sum + count - 1, 0)
  if (degrees === 0) return null
  const squares = telling.reduce((sum, { sd, count }) => sum + (count - 1) * sd ** 2, 0)
  return { sd: Math.sqrt(squares / degrees), degrees, groups: telling.length }
}

/** The scatter of groups of plain figures, such as the touches of one placement each. */
export const groupOf = (figures: readonly number[]): Group => ({ sd: figures.length < 2 ? 0 : summaryOf(figures).sd ?? 0, count: figures.length })

/** One in a hundred: rarer than that by chance, a scatter is taken as larger than the usual one (common practice, no source). */
const byChance = 0.01

/** Whether this group scatters more than the pooled ones do: Fisher's F test at 1 %. A usual scatter of zero is a display that stood still. */
export const scattersMore = (group: Group, usual: Pooled): boolean => {
  if (group.count < 2 || group.sd <= usual.sd) return false
  return usual.sd === 0 || varianceRatioTail((group.sd / usual.sd) ** 2, group.count - 1, usual.degrees) < byChance
}
