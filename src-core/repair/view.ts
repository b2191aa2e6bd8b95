/** What the repair screen draws: the log of one unit, its values side by side, and what may be done next. */
import { z } from 'zod'
import { stepVerdict } from '../run/view'
import { runVerdict } from '../run/run-list'
import { closing, judgedProperty, repairAction } from './entry'

/** `asset`: the path it is served under. */
const photographs = z.array(z.strictObject({ when: z.enum(['before', 'after']), asset: z.string() }))

export const repairView = z.strictObject({
  run: z.string(), board: z.strictObject({ id: z.string(), name: z.string(), revision: z.string() }), serialNumber: z.string(),
  /** Its board and values are simulated. */
  practice: z.boolean(),
  /** Why nothing can be logged; null: it can. */
  refusal: z.string().nullable(),
  parts: z.array(z.strictObject({
    ref: z.string(), what: z.string(), pins: z.array(z.strictObject({ pin: z.string(), words: z.string() })),
    /** Of its value, where it has one; what is known of the original: "220 Ω ± 2 %, 0.25 W, 0805". */
    unit: z.string().nullable(), known: z.string(), marking: z.string(),
    /** Why it cannot be measured alone; null: it can. */
    notAlone: z.string().nullable(),
  })),
  /** The part that the failed steps point at and nothing was logged of yet; null: there is none. */
  suggested: z.string().nullable(),
  /** What is not as it was built; empty: it is whole. */
  state: z.string(),
  entries: z.array(z.strictObject({
    seq: z.number().int(), utc: z.string(), part: z.string(), action: repairAction, words: z.string(), judged: z.array(judgedProperty), by: z.string(),
    photographs,
    /** Why it was struck out; null: it stands. */
    struck: z.string().nullable(),
  })),
  /** Of the runs before this one. */
  before: z.array(z.strictObject({ part: z.string(), what: z.string(), at: z.string(), by: z.string(), photographs })),
  /** Of this unit, the first one first. */
  runs: z.array(z.strictObject({ run: z.string(), startedUtc: z.string(), verdict: runVerdict.nullable(), because: z.string(), purpose: z.enum(['first', 'affected', 'whole', 'prove']) })),
  /** Every step that was measured, with its value in each run; null: not made there. */
  values: z.array(z.strictObject({ id: z.string(), title: z.string(), made: z.array(z.strictObject({ value: z.string(), verdict: stepVerdict.nullable() }).nullable()) })),
  again: z.strictObject({
    /** `alone`: why no good board lies beside it, in a sentence; null: one may. */
    affected: z.strictObject({ refusal: z.string().nullable(), steps: z.array(z.string()), alone: z.string().nullable() }),
    whole: z.strictObject({ refusal: z.string().nullable(), alone: z.string().nullable() }),
    /** Made beside a good board, unless the technician says no. */
    beside: z.boolean(),
    prove: z.strictObject({ refusal: z.string().nullable(), cautions: z.array(z.string()) }),
    /** When the board is cool again; null: nothing was soldered. */
    coolUtc: z.string().nullable(),
  }),
  /** Loose parts that were measured alone for this board type, newest first. */
  donors: z.array(z.strictObject({ run: z.string(), words: z.string(), passed: z.boolean() })),
  closings: z.array(z.strictObject({ as: closing, refusal: z.string().nullable(), ground: z.string() })),
  closed: z.strictObject({ as: closing, because: z.string(), by: z.string(), utc: z.string() }).nullable(),
})
export type RepairView = z.infer<typeof repairView>

/** The part a log begins at: the one the diagnosis is surest of, else the one the failed steps point at, that is not logged yet; null: nothing points at one. @param faulty the worst first. */
export const partInQuestion = ({ parts, entries, suggested }: Pick<RepairView, 'parts' | 'entries' | 'suggested'>, faulty: readonly string[]): string | null =>
  faulty.find((ref) => parts.some((part) => part.ref === ref) && !entries.some(({ part, struck }) => part === ref && struck === null)) ?? suggested
