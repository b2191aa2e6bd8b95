/** One step of a record: where the leads were, every value with its readings, how it was judged, or why it was not made. */
import { z } from 'zod'
import { fixtures } from '../run/plan'
import { moment, sha256, text, words } from './terms'
import { recordEarlierGoodBoard, recordGoodBoard, recordPoint, recordWatch } from './walk-schema'

const measured = z.union([z.number(), z.enum(['overload', 'negative-overload'])])
const expected = z.union([z.number(), z.literal('overload')])

/** A test point as the board file names it; `x` and `y` on the picture, in its own units. */
const point = z.strictObject({ point: words, words, picture: words, x: z.number(), y: z.number() })

/** One part of an uncertainty budget, in the unit of the value. */
const budgetLine = z.strictObject({
  source: words, estimate: z.number().nullable(), standardUncertainty: z.number(), distribution: words, sensitivity: z.number(),
  /** u · |c|. */
  contribution: z.number(),
  /** Null: so many that they do not count. */
  degreesOfFreedom: z.number().nullable(),
})
const budget = z.strictObject({
  lines: z.array(budgetLine), combined: z.number(),
  /** Lead resistance that is known, stands in the value all the same, and is counted whole beside k · u. 0: none. */
  bias: z.number(), effectiveDegreesOfFreedom: z.number().nullable(),
  coverageProbability: z.number(), k: z.number(), expanded: z.number(), kFrom: words,
  /** What the figures do not cover, and what was assumed. */
  remarks: z.array(text).optional(),
})
export type RecordBudget = z.infer<typeof budget>

/** SI. `low` and `high` are null where there is no bound; with `open` an overload or the meter's air passes. */
export const recordLimits = z.strictObject({
  kind: z.enum(['between', 'tolerance', 'at-most', 'at-least', 'open', 'short']), low: z.number().nullable(), high: z.number().nullable(),
  nominal: z.number().nullable(), tolerance: z.number().nullable(), words: text,
  /** As the part is marked, where the limits were written so. */
  marked: words.nullable(),
  /** Where they come from. */
  from: text,
  /** Of limits that nobody typed: what the board with every part at its usual figure reads, and between which figures good boards read. SI. */
  computed: z.strictObject({
    value: expected, low: expected, high: expected,
    /** Of the boards they were computed for. */
    celsius: z.strictObject({ from: z.number(), to: z.number() }),
    /** What drives the tips; null: no direct current. `typical`: generic figures, not those of the meter. */
    source: z.strictObject({ volts: z.number(), ohms: z.number(), amperes: z.number().nullable(), plus: z.enum(['red', 'black']), typical: z.boolean() }).nullable(),
    words: text,
  }).optional(),
})
export type RecordLimits = z.infer<typeof recordLimits>

export const recordValue = z.strictObject({
  /** Number of the event in the run. */
  event: z.number().int().positive(), at: moment, touch: z.number().int().positive(),
  /** The step's verdict stands on this value. */
  stands: z.boolean(),
  /** Of a value that does not stand: why. */
  replacedBecause: text.nullable(),
  /** As in `meters`, whose `id` tells two of one name apart. */
  meter: words, meterId: words,
  /** SI, after what was taken off for the leads. */
  value: measured, words: text, unit: words, function: words,
  /** Ω that were taken off what the meter showed; null: nothing was. */
  leadTakenOff: z.number().nullable(),
  range: z.number().nullable(), resolution: z.number().nullable(),
  readings: z.strictObject({
    conversions: z.number().int().positive(), seconds: z.number().nonnegative(), median: z.number().nullable(), standardDeviation: z.number().nullable(),
    /** What the meter sent, hex, whole frames. */
    raw: z.array(z.string().regex(/^([0-9a-f]{2})*$/)),
  }),
  uncertainty: z.strictObject({ U: z.number(), k: z.number(), basis: words, words: text, budget: budget.optional() }).nullable(),
  /** Of a figure that has no uncertainty; null: it has one, or there is no figure. */
  noUncertaintyBecause: text.nullable(),
  /** Of this figure: claimed only with a stated accuracy, a certificate that covers the function, and a good check. Null: there is no figure. */
  traceable: z.strictObject({ claimed: z.boolean(), because: text }).nullable(),
  /** Probability that the item conforms, and the risk that this pass is wrong (JCGM 106:2012). */
  conformance: z.strictObject({ probability: z.number().min(0).max(1), falseAcceptance: z.number().min(0).max(1).nullable() }).optional(),
  limits: recordLimits,
  rule: z.strictObject({ kind: words, r: z.number().nullable(), words: text }),
  verdict: z.enum(['pass', 'conditional-pass', 'conditional-fail', 'fail']),
  evidence: z.enum(['steady', 'moving', 'confirmed', 'proven', 'typed']),
})
export type RecordValue = z.infer<typeof recordValue>

export const recordStep = z.strictObject({
  id: words, title: words, kind: z.enum(['measure', 'look', 'do', 'watch', 'walk']), part: z.enum(['preparation', 'sequence']),
  /** Where the leads were; null for a step that measures nothing. */
  placement: z.union([
    z.strictObject({ red: point, black: point }),
    z.strictObject({ fixture: z.enum(fixtures), reversed: z.boolean() }),
    /** Of a walk: black stays, and red goes to the point of this number, which is no test point. `words` null: only its number is known. */
    z.strictObject({ walked: z.number().int().positive(), words: words.nullable(), spot: z.strictObject({ picture: words, x: z.number(), y: z.number() }).nullable(), black: point }),
    /** Of a walk that was learned: its points are told one by one. */
    z.strictObject({ clipped: point }),
  ]).nullable(),
  function: words.nullable(), instruction: text, parts: z.array(words), powered: z.boolean(),
  /** Null: not reached, or passed over by a branch. */
  verdict: z.enum(['pass', 'conditional-pass', 'conditional-fail', 'fail', 'doubtful', 'not-judged']).nullable(),
  decided: moment.nullable(),
  /** The values the verdict stands on and all earlier ones, in order. */
  values: z.array(recordValue),
  /** Of a walk that was learned in this run; of a step to measure: its value, which the technician chose to read and nothing judges. */
  points: z.array(recordPoint).min(1).optional(),
  /** Of a run beside a good board. */
  goodBoard: recordGoodBoard.optional(),
  /** Touches on the good board that do not stand. */
  earlierGoodBoards: z.array(recordEarlierGoodBoard).min(1).optional(),
  /** Points that were taken back or walked again, and those of a walk that was left: they do not stand. */
  earlierPoints: z.array(recordPoint).min(1).optional(),
  /** Of a step that follows a value. */
  watch: recordWatch.optional(),
  /** Those that do not stand: taken back, followed again, or interrupted. */
  earlierWatches: z.array(recordWatch).min(1).optional(),
  skipped: z.strictObject({ at: moment, because: text }).nullable(),
  done: z.strictObject({ at: moment, note: text.nullable(), picture: sha256.nullable() }).nullable(),
})
export type RecordStep = z.infer<typeof recordStep>
