/** What a screen asks of records, and what comes back. */
import { z } from 'zod'
import { recordSchema } from './schema'
import { recordSheet } from './sheet'
import { link } from './terms'

/** One record as a list shows it. */
export const recordEntry = z.strictObject({
  number: link.shape.number, sequence: z.number().int().positive(), sha256: link.shape.sha256, run: z.uuid(),
  board: z.string(), revision: z.string(), name: z.string(), serialNumber: z.string(), verdict: z.enum(['pass', 'fail', 'beyond-repair', 'incomplete']),
  issued: z.string(), customer: z.string().nullable(), job: z.string().nullable(), traceable: z.boolean(),
  /** Functions in which every figure that stands is traceable; left out: issued before lists told. */
  traceableIn: z.array(z.string()).optional(),
  /** Numbers of the record it stands in for, and of the one that stands in for it. */
  replaces: z.string().nullable(), replacedBy: z.string().nullable(),
})
export type RecordEntry = z.infer<typeof recordEntry>

export const paperName = z.enum(['a4', 'letter'])
export type PaperName = z.infer<typeof paperName>

const job = z.strictObject({ customer: z.string().max(200).nullable(), job: z.string().min(1).max(80) })
export const recordExportKinds = ['json', 'pdf', 'csv'] as const
export type RecordExportKind = (typeof recordExportKinds)[number]

export const recordCommands = {
  /** What the sheet offers for this run (once it has its record, what that one says, for a correction), its records so far, and why none can be issued now. */
  'record-sheet': {
    input: z.strictObject({ run: z.uuid() }),
    output: z.strictObject({
      sheet: recordSheet, lastCondition: z.string(), refused: z.string().nullable(), records: z.array(recordEntry),
      /** The first record of this shop makes its signing key. */
      makesKey: z.boolean(),
      /** That of a PDF, unless another is asked for. */
      paper: paperName,
    }),
  },
  'issue-record': { input: z.strictObject({ run: z.uuid(), sheet: recordSheet }), output: recordEntry },
  /** A new record of the same run that names the one it stands in for; the old one stays as it is. */
  'correct-record': { input: z.strictObject({ number: link.shape.number, because: z.string().min(1).max(500), sheet: recordSheet }), output: recordEntry },
  /** Newest first, behind `after`. */
  'list-records': {
    input: z.strictObject({ run: z.uuid().optional(), ofJob: job.optional(), after: z.number().int().positive().optional() }),
    output: z.strictObject({ records: z.array(recordEntry), next: z.number().int().nullable() }),
  },
  'read-record': { input: z.strictObject({ number: link.shape.number }), output: recordSchema },
  /** Records by their numbers, or all of a job with its signed statement at the end; the file is fetched once, under `path`, as an asset. */
  'export-records': {
    input: z.strictObject({ numbers: z.array(link.shape.number).min(1).max(500).optional(), ofJob: job.optional(), as: z.enum(recordExportKinds),
      /** Of a PDF: its paper, the one asked for last unless said, and whether each value's uncertainty budget is printed. */
      paper: paperName.optional(), budgets: z.boolean().optional() })
      .refine((asked) => (asked.numbers === undefined) !== (asked.ofJob === undefined), 'either numbers or ofJob'),
    output: z.strictObject({ path: z.string(), name: z.string() }),
  },
} as const
