/** The uncertainty budget of one value: its parts, what they come to together, and the interval that covers 95 %. */
import { z } from 'zod'
import { unitSymbol } from '../meter/reading'
import { component, type Component, contribution } from './component'
import { coverageOf, coverageProbability, effectiveDegrees, partShapes } from './coverage'

const bounded = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('rectangles'), a: z.number(), b: z.number() }),
  z.strictObject({ kind: z.literal('arc-sine'), a: z.number() }),
])

export const budget = z.strictObject({
  value: z.number(), unit: unitSymbol,
  components: z.array(component).min(1),
  /** Combined standard uncertainty. */
  combined: z.number().nonnegative(),
  /** Welch–Satterthwaite, as it comes out; null: infinitely many. */
  effectiveDegrees: z.number().nullable(),
  coverage: z.strictObject({
    p: z.number(), k: z.number(), by: z.enum(['student', 'bounded', 'dominated']),
    part: z.strictObject({ what: z.array(z.string()), shape: z.enum(partShapes), k: z.number() }).nullable(),
    spread: z.discriminatedUnion('kind', [
      z.strictObject({ kind: z.literal('student'), standard: z.number(), degrees: z.number().nullable() }),
      z.strictObject({ kind: z.literal('bounded'), part: bounded, rest: z.number() }),
    ]),
  }),
  /** Of the value, known and not taken off: on average it is too high by so much, SI. Left out: none. */
  bias: z.number().optional(),
  /** Expanded uncertainty, not rounded: k·u_c, and the size of a bias beside it. */
  U: z.number().nonnegative(),
  basis: z.enum(['budget', 'generic']),
  /** What the figures do not cover, and what was assumed: sentences. */
  remarks: z.array(z.string()),
})
export type Budget = z.infer<typeof budget>

/** What the value is best taken as: a bias left in it is known. */
export const bestEstimate = ({ value, bias = 0 }: Pick<Budget, 'value' | 'bias'>): number => value - bias

type What = { value: number; unit: Component['unit']; basis: Budget['basis']; remarks: readonly string[]; bias?: number }

/**
 * The law of propagation for parts that do not depend on each other, JCGM 100:2008, 5.1.2: u_c² = Σ(c_i·u_i)². The value is taken as
 * linear in each part within its uncertainty, which a reading with additive corrections is. A bias that was not taken off is added whole to
 * k·u_c: JCGM 100:2008, F.2.4.5 (from memory).
 */
export const budgetOf = (components: readonly Component[], { value, unit, basis, remarks, bias = 0 }: What, p = coverageProbability): Budget => {
  const combined = Math.hypot(...components.map(contribution))
  const degrees = effectiveDegrees(components.map((each) => ({ u: contribution(each), degrees: each.degrees ?? Infinity })))
  const { k, by, part, spread } = coverageOf(components, p)
  return {
    value, unit, components: [...components], combined, effectiveDegrees: Number.isFinite(degrees) ? degrees : null,
    coverage: { p, k, by, part, spread }, ...(bias === 0 ? {} : { bias }), U: k * combined + Math.abs(bias), basis, remarks: [...remarks],
  }
}
