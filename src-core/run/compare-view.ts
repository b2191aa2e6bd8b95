/** Two runs side by side, as a screen draws them. */
import { z } from 'zod'
import { evidence } from './event'
import { runHead } from './detail-view'
import { stepVerdict } from './view'

const side = z.strictObject({
  /** Empty where nothing was measured. */
  value: z.string(), uncertainty: z.string(), verdict: stepVerdict.nullable(), evidence: evidence.nullable(), skipped: z.boolean(),
})

/**
 * What two values say of each other. `agree`: not further apart than their combined uncertainty; `differ`: further apart;
 * `one-open`: the meter was over its range in one and not in the other; `both-open`; `not-known`: no uncertainty to hold the difference against;
 * `doubtful`: the contact was doubtful in one, so there is no value to trust; `one-only`, `neither`: measured in one run, or in none; `looked`: a step without a value.
 */
export const agreement = z.enum(['agree', 'differ', 'one-open', 'both-open', 'not-known', 'doubtful', 'one-only', 'neither', 'looked'])
export type Agreement = z.infer<typeof agreement>

export const comparedStep = z.strictObject({
  id: z.string(), title: z.string(), placement: z.string(), limits: z.string(),
  first: side, second: side,
  /** Second less first: SI, in words, and in per cent of the first; null where one is no figure. */
  difference: z.strictObject({ si: z.number(), words: z.string(), percent: z.number().nullable() }).nullable(),
  /** Combined expanded uncertainty of the difference, k = 2, in words; empty where one has none. */
  combined: z.string(),
  agreement, verdictsDiffer: z.boolean(),
  /** Worth a look: the values differ, one is open, or the verdicts differ. */
  flagged: z.boolean(),
  says: z.string(),
})
export type ComparedStep = z.infer<typeof comparedStep>

export const comparison = z.strictObject({
  first: runHead, second: runHead,
  /** In a sentence: what is compared when revisions or sequences differ; empty when they are the same. */
  caution: z.string(),
  steps: z.array(comparedStep),
  notComparable: z.array(z.strictObject({ id: z.string(), title: z.string(), because: z.string() })),
  flagged: z.number().int(),
})
export type Comparison = z.infer<typeof comparison>
