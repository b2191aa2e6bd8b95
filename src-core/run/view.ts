/** What the bench screen draws. Made in core, so that every host and every voice says the same. */
import { z } from 'zod'
import { meterFunction, unitSymbol } from '../meter/reading'
import { handView } from '../practice/hand-view'
import { fixtures } from './plan'

const place = z.strictObject({ testPoint: z.string(), x: z.number(), y: z.number(), words: z.string() })

export const stepVerdict = z.enum(['pass', 'conditional-pass', 'conditional-fail', 'fail', 'doubtful', 'not-judged'])

export const stepRow = z.strictObject({
  id: z.string(), title: z.string(), kind: z.enum(['measure', 'look', 'do']), preparation: z.boolean(),
  state: z.enum(['to-come', 'now', 'decided', 'skipped', 'passed-over']),
  /** Engineering notation, "open", or empty. */
  value: z.string(), verdict: stepVerdict.nullable(), evidence: z.enum(['steady', 'moving', 'confirmed', 'proven', 'typed']).nullable(),
  limits: z.string(),
  /** Values this step had before it was undone or measured again; never lost. */
  earlier: z.array(z.string()),
  note: z.string().nullable(),
  /** Why it was skipped, apart from its notes. */
  skipReason: z.string().nullable(),
  /** Of a unit measured again: what this step came to first. */
  first: z.string().optional(),
  /** What the good board beside it read, and how far off this one is. */
  beside: z.string().optional(),
  /** Of a placement elsewhere: what a good board reads there, computed, and whether this lies within it. */
  expected: z.string().optional(),
})
export type StepRow = z.infer<typeof stepRow>

/** A logarithmic or linear axis from 0 (short) to 1 (open), with places along it. */
export const scaleView = z.strictObject({
  window: z.strictObject({ from: z.number(), to: z.number(), lowWords: z.string(), highWords: z.string() }),
  /** Where a short and an open would be; null where that means nothing. */
  short: z.number().nullable(), open: z.number().nullable(),
})

/** Something to be said aloud; `id` changes whenever it is to be said anew. */
export const utterance = z.strictObject({ id: z.string(), kind: z.enum(['warning', 'result', 'prompt', 'hint']), sentences: z.array(z.string()).min(1) })
export type Utterance = z.infer<typeof utterance>

export const benchView = z.strictObject({
  run: z.string(),
  board: z.strictObject({ id: z.string(), name: z.string(), revision: z.string() }),
  serialNumber: z.string(),
  /** Of a loose part that is measured alone: the run whose repair log asked for it. */
  aloneFor: z.string().optional(),
  status: z.enum(['running', 'paused', 'ended']),
  practice: z.boolean(),
  /** No meter is connected: its figures are read by eye and typed. */
  byEye: z.boolean(),
  /** Opened after its end, to be read: nothing is measured or taken back. */
  record: z.boolean(),
  picture: z.strictObject({ asset: z.string(), width: z.number(), height: z.number() }).nullable(),
  step: z.strictObject({
    id: z.string(), number: z.number().int(), of: z.number().int(), title: z.string(), kind: z.enum(['measure', 'look', 'do']),
    /** The prompt, in parts: the leads' words are set apart on screen. */
    prompt: z.array(z.strictObject({ text: z.string(), lead: z.enum(['red', 'black']).nullable() })),
    where: z.string(), caution: z.string().nullable(),
    /** Where a good board lies beside the one under test: which of them this is made on. */
    onBoard: z.strictObject({ which: z.enum(['good', 'under-test', 'both']), words: z.string() }).optional(),
    function: meterFunction.nullable(),
    red: place.nullable(), black: place.nullable(),
    /** Set where the leads go to a fixture, not to test points. */
    fixture: z.enum(fixtures).nullable(), reversed: z.boolean(),
    /** What stands before the figures: that they are limits, that they were computed, or whose they are. Missing: limits. */
    limits: z.string(), limitsAre: z.enum(['computed', 'good boards', 'good board beside']).optional(), scale: scaleView.nullable(),
    /** Of a walk that is being learned: how many points it has so far, and how many it is to have; null: until it is ended. */
    walk: z.strictObject({ learned: z.number().int(), of: z.number().int().nullable() }).optional(),
    /** The value is typed, in this unit; null: the meter is read. */
    typed: z.strictObject({ unit: unitSymbol, /** Which touch of this step is typed next. */ touch: z.number().int() }).nullable(),
  }).nullable(),
  steps: z.array(stepRow),
  /** Every action of this moment, with its key. */
  keys: z.array(z.strictObject({ key: z.string(), does: z.string(), action: z.enum(['confirm', 'again', 'back', 'skip', 'note', 'pause', 'resume', 'found', 'end', 'next-board', 'same-meter', 'other-meter', 'by-eye', 'say-again', 'finish', 'elsewhere']) })),
  /** What can be measured now where the technician chooses, lifted legs too; missing: nothing can. `shown`: on the picture of the bench. */
  elsewhere: z.strictObject({
    points: z.array(z.strictObject({ id: z.string(), name: z.string(), words: z.string(), x: z.number(), y: z.number(), shown: z.boolean() })),
    functions: z.array(z.strictObject({ function: meterFunction, words: z.string() })),
  }).optional(),
  leads: z.string(), proof: z.string(),
  /** Set in manual practice while the run goes on: the hand is the user's. */
  hand: handView.optional(),
  /** To be said in this order, each once. */
  spoken: z.array(utterance),
  /** Notes on the run as a whole, such as a doubt that came up later. */
  notes: z.array(z.string()),
  result: z.strictObject({
    verdict: z.enum(['pass', 'fail', 'beyond-repair', 'incomplete']), because: z.string(),
    failed: z.array(z.strictObject({ step: z.string(), title: z.string(), value: z.string(), limits: z.string(), parts: z.array(z.string()), means: z.string() })),
    next: z.array(z.string()),
    /** Why the next board is not offered. */
    noNext: z.string().optional(),
    truth: z.string().nullable(),
  }).nullable(),
})
export type BenchView = z.infer<typeof benchView>

/** The live part: the reading and what capture waits for. Not run state, and never stored. */
export const liveView = z.strictObject({
  reading: z.strictObject({
    /** "221.4", "OL"; unit with prefix, "kΩ". */
    figure: z.string(), unit: z.string(), function: meterFunction, flags: z.array(z.string()),
  }).nullable(),
  perSecond: z.number().nullable(),
  /** Place of the value on the step's scale, 0 to 1. */
  mark: z.number().nullable(),
  state: z.string(),
  tone: z.enum(['ask', 'busy', 'good', 'warn', 'stop']),
  beads: z.strictObject({ have: z.number().int(), of: z.number().int() }).nullable(),
  /** Of a watch, up to now. */
  watch: z.strictObject({
    minimum: z.string(), maximum: z.string(), dropouts: z.string(), /** What time it has run, or has left. */ time: z.string(),
    /** Hz; null: silence. */
    pitch: z.number().nullable(),
  }).optional(),
  /** To be said once while it lasts. */
  spoken: utterance.nullable(),
  /** For a hand that cannot see: what the bench wants now. */
  wants: z.enum(['nothing', 'touch', 'hold', 'lift', 'confirm', 'dial', 'wait', 'press', 'type', 'skip']),
  /** Where the step can only be skipped: the reason that fits. */
  skipBecause: z.string().optional(),
})
export type LiveView = z.infer<typeof liveView>
