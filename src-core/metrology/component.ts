/** One part of an uncertainty budget: what it is, how it is spread, and how strongly the value follows it. */
import { z } from 'zod'
import { unitSymbol } from '../meter/reading'

const size = z.number().nonnegative()

/** How the values of an influence are spread, in its own unit. JCGM 100:2008, 4.3.7 to 4.3.9, and EA-4/02 M:2022 (clauses from memory). */
export const spread = z.discriminatedUnion('shape', [
  z.strictObject({ shape: z.literal('normal'), standard: size }),
  /** Anything within ± halfWidth alike. */
  z.strictObject({ shape: z.literal('rectangular'), halfWidth: size }),
  z.strictObject({ shape: z.literal('triangular'), halfWidth: size }),
  /** `edge` β: width of the flat top over that of the base; 1 is rectangular, 0 triangular. */
  z.strictObject({ shape: z.literal('trapezoidal'), halfWidth: size, edge: z.number().min(0).max(1) }),
  /** Arc sine: what swings to and fro like a sine is mostly near its ends. */
  z.strictObject({ shape: z.literal('u-shaped'), halfWidth: size }),
])
export type Spread = z.infer<typeof spread>

export const component = z.strictObject({
  /** "repeatability". */
  what: z.string().min(1),
  /** Where its size comes from, as a sentence of the table. */
  from: z.string(),
  /** Evaluated from a series of readings (A), or otherwise (B). */
  kind: z.enum(['A', 'B']),
  spread,
  /** Change of the value over the change of this influence. */
  sensitivity: z.number(),
  /** Null: taken as exactly known (infinitely many). */
  degrees: z.number().positive().nullable(),
  unit: unitSymbol,
})
export type Component = z.infer<typeof component>

/** Standard uncertainty of the influence itself. */
export const standardUncertainty = (of: Spread): number => {
  switch (of.shape) {
    case 'normal': return of.standard
    case 'rectangular': return of.halfWidth / Math.sqrt(3)
    case 'triangular': return of.halfWidth / Math.sqrt(6)
    case 'trapezoidal': return of.halfWidth * Math.sqrt((1 + of.edge ** 2) / 6)
    case 'u-shaped': return of.halfWidth / Math.SQRT2
  }
}

/** What it adds to the standard uncertainty of the value: |c|·u. */
export const contribution = ({ spread: of, sensitivity }: Pick<Component, 'spread' | 'sensitivity'>): number => Math.abs(sensitivity) * standardUncertainty(of)
