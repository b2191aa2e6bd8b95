/** Limits: the acceptance interval of a step, as a board file writes it. */
import { z } from 'zod'

/** The part's marking that the figures were read from, where a board file has it so: "4k7 5 %". */
const marked = z.string().max(60).optional()

export const limits = z.union([
  z.literal('open'),
  z.literal('short'),
  z.strictObject({ between: z.tuple([z.number(), z.number()]).refine(([lo, hi]) => lo < hi, 'the first figure must be below the second'), marked }),
  z.strictObject({ nominal: z.number().positive(), tolerance: z.number().positive().max(1), marked }),
  z.strictObject({ atMost: z.number() }),
  z.strictObject({ atLeast: z.number() }),
])
/** SI numbers; `tolerance` is relative: 0.05 is ± 5 %. */
export type Limits = z.infer<typeof limits>

export const verdict = z.enum(['pass', 'conditional-pass', 'conditional-fail', 'fail'])
export type Verdict = z.infer<typeof verdict>

export const decisionRule = z.strictObject({ kind: z.enum(['simple-acceptance', 'guard-band']), r: z.number().min(0).max(3) })
/** ILAC-G8:09/2019: simple acceptance, or a guard band w = r·U; the guidance names r up to 3. */
export type DecisionRule = z.infer<typeof decisionRule>
