/** What the screen of one run draws: every value with its evidence, limits and uncertainty, and every event with its time. */
import { z } from 'zod'
import { measuredValue, meterFunction, unitSymbol } from '../meter/reading'
import { budgetView } from '../metrology/budget-view'
import { evidence } from './event'
import { runVerdict } from './run-list'
import { stepVerdict } from './view'

export const runHead = z.strictObject({
  run: z.string(),
  board: z.strictObject({ id: z.string(), name: z.string(), revision: z.string() }),
  sequence: z.strictObject({ id: z.string(), version: z.number().int() }),
  serialNumber: z.string(), practice: z.boolean(),
  startedUtc: z.string(), endedUtc: z.string().nullable(),
  status: z.enum(['running', 'paused', 'ended']),
  verdict: runVerdict.nullable(), because: z.string(),
  /** In words; several where the run went on with another. */
  meter: z.string(),
})
export type RunHead = z.infer<typeof runHead>

/** One accepted touch. Numbers are SI; `value` and `median` are after lead resistance. */
export const detailValue = z.strictObject({
  seq: z.number().int(), utc: z.string(), touch: z.number().int(),
  /** The value the step's decision stands on; the others are earlier ones, or touches that led to it. */
  standing: z.boolean(),
  words: z.string(), si: measuredValue, unit: unitSymbol, function: meterFunction,
  verdict: stepVerdict, evidence, limits: z.string(), rule: z.string(),
  /** "± 4.1 Ω (k = 1.65, from a budget)"; empty where there is none. */
  uncertainty: z.string(),
  /** Null where the value has none: an overload, or a run made before budgets were kept. */
  budget: budgetView.nullable(),
  /** Of a figure without an uncertainty: why; else empty. */
  noBudget: z.string(),
  /** The rule of this value, in sentences. */
  ruleWords: z.string(),
  /** Which meter it came from, or that it was read by eye. */
  meter: z.string(),
  conversions: z.number().int(), seconds: z.number(), sd: z.string(), median: z.string(), resolution: z.string(), range: z.string(),
  /** How many frames the meter sent for it; they are asked for one value at a time. */
  frames: z.number().int(),
})
export type DetailValue = z.infer<typeof detailValue>

export const detailStep = z.strictObject({
  id: z.string(), title: z.string(), kind: z.enum(['measure', 'look', 'do', 'unknown']), preparation: z.boolean(),
  /** "red J1.2, black R3.2", or what the leads are held to. */
  placement: z.string(), function: meterFunction.nullable(), limits: z.string(), parts: z.array(z.string()), means: z.string(),
  verdict: stepVerdict.nullable(), skipReason: z.string().nullable(), done: z.string().nullable(), notes: z.array(z.string()),
  values: z.array(detailValue),
  /** What a watch came to, in a line. */
  watched: z.string().optional(),
  /** Points of a walk that was learned, and what a watch came to: figures that were not touched and judged one by one. */
  found: z.array(z.strictObject({ seq: z.number().int(), utc: z.string(), words: z.string(), meter: z.string(), frames: z.number().int() })).optional(),
})
export type DetailStep = z.infer<typeof detailStep>

export const runDetail = z.strictObject({
  head: runHead, rule: z.string(), kit: z.array(z.string()),
  /** Of the meter the run began with; `warn`: it speaks against the values. */
  meterFacts: z.array(z.strictObject({ name: z.string(), words: z.string(), warn: z.boolean() })),
  /** False where the board file of this run is no longer in the data folder: steps then bear their ids. */
  boardKnown: z.boolean(),
  steps: z.array(detailStep),
  /** Why no record is issued of it; null: one may be, or was. */
  noRecord: z.string().nullable(),
  /** Why it has no repair log; null: it has one, empty or not. */
  noRepair: z.string().nullable(),
  /** Notes on the run as a whole. */
  notes: z.array(z.string()),
  /** What was hidden on a practice board; said once the run has ended. */
  truth: z.string().nullable(),
  events: z.array(z.strictObject({ seq: z.number().int(), utc: z.string(), words: z.string(), undone: z.boolean() })),
})
export type RunDetail = z.infer<typeof runDetail>

/** A frame as the meter sent it; `text` where all of it can be printed but for line ends. */
export const frameView = z.strictObject({ hex: z.string(), text: z.string().nullable() })
export type FrameView = z.infer<typeof frameView>
