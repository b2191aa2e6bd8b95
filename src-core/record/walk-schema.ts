/** What a record tells of a walk that was learned and of a watch: figures that stand, with their readings, without or beside a verdict. */
import { z } from 'zod'
import { moment, text, words } from './terms'

const measured = z.union([z.number(), z.enum(['overload', 'negative-overload'])])
const hex = z.string().regex(/^([0-9a-f]{2})*$/)
const uncertainty = z.strictObject({ U: z.number(), k: z.number(), basis: words, words: text }).nullable()
/** As of a value (step-schema.ts). */
const traceable = z.strictObject({ claimed: z.boolean(), because: text }).nullable()
const of = { event: z.number().int().positive(), at: moment, meter: words, meterId: words, unit: words, function: words, range: z.number().nullable(), resolution: z.number().nullable() }

/** One point of a walk that was learned on this item: nothing is judged by it here. */
export const recordPoint = z.strictObject({
  ...of, point: z.number().int().positive(),
  /** Where the red lead was: a test point, or the words of the board file; null: only its number is known. */
  red: words.nullable(),
  /** On a picture of the board, in its own units; null: the board file does not tell it. */
  place: z.strictObject({ picture: words, x: z.number(), y: z.number() }).nullable(),
  value: measured, words: text, leadTakenOff: z.number().nullable(),
  readings: z.strictObject({ conversions: z.number().int().positive(), seconds: z.number().nonnegative(), median: z.number().nullable(), standardDeviation: z.number().nullable(), raw: z.array(hex) }),
  uncertainty, traceable, evidence: z.enum(['steady', 'moving', 'confirmed', 'proven', 'typed']),
})
export type RecordPoint = z.infer<typeof recordPoint>

/** What the good board beside the item read at the same placement: no value of the item. `held`: what the item was judged by because of it; empty: by the limits of the step. */
export const recordGoodBoard = recordPoint.omit({ point: true, red: true, place: true, traceable: true }).extend({
  held: text, /** Of the item's value, in words; empty: there is none. */ difference: text,
  /** It lies within the limits of the step, where that has some. */ fits: z.boolean(),
})
export type RecordGoodBoard = z.infer<typeof recordGoodBoard>

/** A touch on the good board that does not stand. `held`: what values of the item before were judged by because of it; empty: none was, or by the limits of the step. */
export const recordEarlierGoodBoard = recordGoodBoard.extend({ replacedBecause: text })
export type RecordEarlierGoodBoard = z.infer<typeof recordEarlierGoodBoard>

/** SI; `at`: s since the first contact. */
const extreme = z.strictObject({ value: z.number(), words: text, at: z.number().nonnegative(), leadTakenOff: z.number().nullable(), uncertainty, traceable })

/** A value followed while something was done to the board. Null extremes: there was no contact at all. */
export const recordWatch = z.strictObject({
  ...of, stands: z.boolean(), what: text, seconds: z.number().nonnegative(), conversions: z.number().int().nonnegative(), minimum: extreme.nullable(), maximum: extreme.nullable(),
  dropouts: z.array(z.strictObject({ at: z.number().nonnegative(), seconds: z.number().nonnegative(), shows: z.enum(['no-contact', 'jump']) })),
  /** `interrupted`: begun again, paused, left, the meter lost or silent, or in another function or a mode that lies; it decided nothing. */
  ended: z.enum(['press', 'time', 'interrupted']),
  /** Null: none, only a dropout fails it. */
  limits: z.strictObject({ low: z.number().nullable(), high: z.number().nullable(), words: text, from: text }).nullable(),
  /** `not-judged`: interrupted before anything had failed. */
  verdict: z.enum(['pass', 'conditional-pass', 'conditional-fail', 'fail', 'not-judged']), words: text,
  /** Every conversion of it, hex, whole frames. */
  raw: z.array(hex),
})
export type RecordWatch = z.infer<typeof recordWatch>
