/** Run events: what happened, once and for all. A run is its events; nothing is deleted or judged again. */
import { z } from 'zod'
import { identity } from '../meter/identity'
import { benchKit, meter } from '../meter/instrument'
import { measuredValue, meterFunction, unitSymbol } from '../meter/reading'
import { budget } from '../metrology/budget'
import { decisionRule, limits, verdict } from '../metrology/limits'
import { limitsSource } from '../metrology/limits-source'
import type { Seconds } from '../quantity/units'
import { closing, followsRun, repairEntry } from '../repair/entry'
import { limitsOfGoodBoardsKept } from './good-values'
import { knownGood } from './known-good'
import { knownWalks } from './walk'

export const evidence = z.enum(['steady', 'moving', 'confirmed', 'proven', 'typed'])
export type Evidence = z.infer<typeof evidence>

const stop = z.strictObject({ stop: z.enum(['beyond-repair', 'fail']), because: z.string() })
const sha256 = z.string().regex(/^[0-9a-f]{64}$/)
const seq = z.number().int().positive()
const step = z.string().min(1)

const expected = z.union([z.number(), z.literal('overload')])
const made = z.strictObject({
  limits,
  /** Of the board with every part at its usual figure; good boards read from `low` to `high`. SI. */
  value: expected, low: expected, high: expected,
  /** What drove the tips; `typical`: generic figures, not this meter's own. */
  source: z.strictObject({ volts: z.number(), ohms: z.number(), amperes: z.number().nullable(), plus: z.enum(['red', 'black']), typical: z.boolean() }).nullable(),
  /** Of limits in the board file, which were made with this source. */
  instead: limitsSource.optional(),
})
const refused = z.strictObject({ refused: z.string() })
/** Of one step whose limits depend on the meter: its limits with what they were made from, typed ones that stand, or why there are none with this meter. */
const computedStep = z.union([
  made,
  /** Those of the board file, made with a source that reads alike here. */
  z.strictObject({ limits, madeWith: limitsSource }),
  /** Those of the shop's good boards, where none can be computed. */
  limitsOfGoodBoardsKept,
  refused,
])

/** One touch as it was read. */
const taken = {
  function: meterFunction, range: z.number().nullable(), resolution: z.number().nullable(), unit: unitSymbol,
  /** Mean of the conversions, after what was taken off for the leads, or the overload. */
  value: measuredValue, median: z.number().nullable(), sd: z.number().nullable(),
  conversions: z.number().int().positive(), seconds: z.number().nonnegative(), raw: z.array(z.string()),
  /** Ω, where lead resistance was taken off this value. */
  leadTakenOff: z.number().optional(),
  uncertainty: z.strictObject({ U: z.number(), k: z.number(), basis: z.enum(['specification', 'generic', 'budget']) }).nullable(),
  /** What U was made of; missing where there is none, and in runs made before budgets were kept. */
  budget: budget.optional(),
  /** Of a figure that has no uncertainty: why, as a sentence. */
  noBudget: z.string().optional(),
}

/** Smallest or largest value of a watch, SI; `at`: s since its first contact. */
const extreme = z.strictObject({ value: z.number(), at: z.number().nonnegative(), leadTakenOff: taken.leadTakenOff, uncertainty: taken.uncertainty })

const body = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('started'),
    board: z.strictObject({ id: z.string(), revision: z.string(), sha256 }),
    sequence: z.strictObject({ id: z.string(), version: z.number().int() }),
    serialNumber: z.string(),
    /** The meter and the bench kit as they were: preparation steps and uncertainty are rebuilt from these, never from later edits. */
    meter: meter.nullable(),
    /** How sure it was that it is that meter; missing: assumed. */
    identity: identity.optional(),
    kit: benchKit,
    rule: decisionRule,
    /** What the points of walks are judged by, as good boards spoke for them when this run began; a walk that is missing is learned in it. */
    walks: knownWalks.optional(),
    /** What good boards read, when this run began, at steps without limits of their own; missing: nothing is known of any. */
    good: knownGood.optional(),
    /** Steps that can be are made on a good board first, which lies beside this one. */
    beside: z.literal(true).optional(),
    /** Ids of the preparation steps of this run, in order. */
    prepare: z.array(step),
    /** Which of the open steps comes next: the one that tells most; missing: as the sequence has them. */
    order: z.literal('tells-most').optional(),
    /** The run of the same unit before it, and what was done to the board since; missing: the first one, or one that knows nothing of another. */
    follows: followsRun.optional(),
    /** Of a loose part that is measured alone: the run whose repair log asked for it; missing: there is none, or that was not kept yet. */
    aloneFor: z.uuid().optional(),
    /** `by`: whose hand it is; the simulated one unless said. `repaired`: faults of before this run that its repairs took away. */
    practice: z.strictObject({ seed: z.number().int(), faults: z.array(z.string()), by: z.enum(['itself', 'hand']).optional(), repaired: z.array(z.string()).optional() }).optional(),
  }),
  /** Once a run and meter: what the steps without limits of their own are judged by from here on. `celsius`: of the boards they were computed for. */
  z.strictObject({ kind: z.literal('limits-computed'), celsius: z.tuple([z.number(), z.number()]), steps: z.record(step, computedStep) }),
  z.strictObject({
    kind: z.literal('captured'), step, touch: z.union([z.literal(1), z.literal(2), z.literal(3)]),
    ...taken,
    limits, rule: decisionRule, verdict, evidence,
  }),
  /** Read and not judged: one point of a walk on a board that works, `id` of the step that checks it in later runs; or the value of a placement elsewhere, `id` its step. */
  z.strictObject({ kind: z.literal('learned'), step, point: z.number().int().positive(), id: step, ...taken, evidence }),
  /** On the good board beside the one under test: nothing of it is judged. */
  z.strictObject({
    kind: z.literal('compared'), step, touch: z.union([z.literal(1), z.literal(2), z.literal(3)]), ...taken, evidence,
    /** It lies within the limits of the step, where that has some of its own. */
    fits: z.boolean(),
    /** `doubtful`: its touches did not agree, and nothing is held to it. */
    outcome: z.enum(['again', 'stands', 'doubtful']),
    /** What the board under test is judged by, and what they rest on; null: by the limits of the step. */
    limits: limits.nullable(), says: z.string(),
  }),
  /** The board under test is judged without it in this step. */
  z.strictObject({ kind: z.literal('not-compared'), step, reason: z.string().min(1).max(500) }),
  /** A value followed while something was done to the board. */
  z.strictObject({
    kind: z.literal('watched'), step, function: meterFunction, unit: unitSymbol, range: taken.range, resolution: taken.resolution,
    /** From the first contact to its end, and the conversions in it that were in contact. */
    seconds: z.number().nonnegative(), conversions: z.number().int().nonnegative(),
    /** Null: there was no contact at all, which was confirmed by a press. */
    minimum: extreme.nullable(), maximum: extreme.nullable(),
    /** Each from its first conversion to the one that ended it, s since the first contact. */
    dropouts: z.array(z.strictObject({ at: z.number().nonnegative(), seconds: z.number().nonnegative(), shows: z.enum(['no-contact', 'jump']) })),
    /** Every conversion of it, in order, those of the dropouts included. */
    raw: z.array(z.string()),
    /** `interrupted`: begun again, paused, left, the meter lost; or, where it had failed, the meter silent, in another function or a mode that lies. Nothing is decided by it. */
    ended: z.enum(['press', 'time', 'interrupted']),
    /** Null: none, only a dropout fails it. `not-judged`: interrupted before anything had failed. */
    limits: limits.nullable(), rule: decisionRule, verdict: z.union([verdict, z.literal('not-judged')]),
  }),
  /** Not recorded as a value: it fits another placement of a good board better than the likeliest fault here, and it was asked where the leads are. */
  z.strictObject({
    kind: z.literal('questioned'), step, function: meterFunction, value: z.number(), resolution: z.number().nullable(), unit: unitSymbol,
    /** Ids of test points; `step`: the one that asks for this placement. `exchanged`: the other way round than asked. */
    looksLike: z.strictObject({ red: z.string(), black: z.string(), step: step.nullable(), exchanged: z.boolean() }),
  }),
  z.strictObject({
    kind: z.literal('decided'), step, verdict: z.union([verdict, z.enum(['doubtful', 'not-judged'])]),
    from: z.array(seq), next: z.union([step, z.literal('end'), stop]),
    /** Where the sequence leads, in a run that goes elsewhere first; missing: to `next`, or in free order not kept. */
    asSequence: z.union([step, z.literal('end'), stop]).optional(),
  }),
  z.strictObject({ kind: z.literal('skipped'), step, reason: z.string().min(1).max(500) }),
  z.strictObject({ kind: z.literal('done'), step, note: z.string().max(2000).optional(), picture: sha256.optional() }),
  /** In free order: this step comes next, because it tells most. */
  z.strictObject({ kind: z.literal('asked'), step, because: z.string().min(1).max(2000) }),
  /** The technician measures elsewhere now, as this step that is not of the sequence. Ids of test points, and of lifted legs ("~C8.1"); `then`: the step that was asked for, and is again. */
  z.strictObject({ kind: z.literal('elsewhere'), step, red: z.string().min(1), black: z.string().min(1), function: meterFunction, then: step }),
  /** What a good board reads at that placement, or why it is not computed: shown beside the value, which is judged by nothing. `celsius`: of the boards it was computed for. */
  z.strictObject({ kind: z.literal('elsewhere-computed'), step, celsius: z.tuple([z.number(), z.number()]), expected: z.union([made, refused]) }),
  /** What the readings of an ended run were concluded to mean, one sentence a part; an opinion. */
  z.strictObject({ kind: z.literal('inferred'), words: z.array(z.string().min(1).max(2000)).max(400) }),
  z.strictObject({
    kind: z.literal('noted'), step: step.nullable(), text: z.string().min(1).max(2000),
    /** It says something of the decision before it, and is taken back with it. */
    ofDecision: z.literal(true).optional(),
  }),
  z.strictObject({ kind: z.literal('undone'), to: seq }),
  z.strictObject({ kind: z.literal('paused') }),
  z.strictObject({ kind: z.literal('resumed') }),
  z.strictObject({ kind: z.literal('meter-lost') }),
  z.strictObject({
    kind: z.literal('meter-back'), same: z.boolean(),
    /** Where the values that follow come from; null: read by eye. Missing in runs made before it was kept. */
    meter: z.strictObject({ id: z.string(), name: z.string() }).nullable().optional(),
  }),
  z.strictObject({ kind: z.literal('proof-lapsed'), because: z.string() }),
  /** Of an ended run: what was done to its board since. */
  z.strictObject({ kind: z.literal('repaired'), entry: repairEntry }),
  /** An entry of the repair log that was wrong; it is kept, and counts no more. */
  z.strictObject({ kind: z.literal('struck'), entry: seq, because: z.string().min(1).max(500) }),
  /** The work on this unit is over. */
  z.strictObject({ kind: z.literal('closed'), as: closing, because: z.string().min(1).max(2000), by: z.string().min(1).max(80) }),
  z.strictObject({ kind: z.literal('ended'), verdict: z.enum(['pass', 'fail', 'beyond-repair', 'incomplete']), because: z.string() }),
])
export type RunEventBody = z.infer<typeof body>
export type CapturedBody = Extract<RunEventBody, { kind: 'captured' }>
export type LearnedBody = Extract<RunEventBody, { kind: 'learned' }>
export type ComparedBody = Extract<RunEventBody, { kind: 'compared' }>
export type WatchedBody = Extract<RunEventBody, { kind: 'watched' }>
export type DecidedBody = Extract<RunEventBody, { kind: 'decided' }>

const stamp = z.object({
  v: z.literal(1), run: z.uuid(), seq, session: z.uuid(), utc: z.iso.datetime(),
  at: z.number().transform((at) => at as Seconds),
})
export type Stamp = z.infer<typeof stamp>
export type RunEvent = Stamp & RunEventBody

/** Reads one stored event; throws a ZodError that names the field. */
export const parseRunEvent = (input: unknown): RunEvent => {
  const { v, run, seq: n, session, utc, at, ...rest } = z.looseObject({}).parse(input)
  return { ...stamp.parse({ v, run, seq: n, session, utc, at }), ...body.parse(rest) }
}
