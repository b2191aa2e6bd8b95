/** Commands of the repair log, of measuring again, and of closing a board. */
import { z } from 'zod'
import { oneLine } from '../quantity/printable'
import { closing, judgedProperty, partFigures, photograph, repairEntry } from './entry'
import { repairView } from './view'

const run = z.uuid()
const name = oneLine(80).min(1)

/** Base64 of a photograph: with its envelope it stays under the 256 kB of a message. */
export const mostPhotographText = 240_000

export const repairCommands = {
  /** `run`: any run of the unit; what is shown and logged on is its last one. */
  'read-repairs': { input: z.strictObject({ run }), output: repairView },
  'log-repair': { input: z.strictObject({ run, entry: repairEntry }), output: repairView },
  'strike-repair': { input: z.strictObject({ run, entry: z.number().int().positive(), because: z.string().min(1).max(500) }), output: repairView },
  /** What is known of a substitute, held against the original. */
  'judge-substitute': { input: z.strictObject({ run, part: z.string().min(1).max(40), figures: partFigures }), output: z.strictObject({ judged: z.array(judgedProperty) }) },
  /** JPEG or PNG; kept by its SHA-256. */
  'keep-photograph': { input: z.strictObject({ base64: z.base64().min(4).max(mostPhotographText) }), output: photograph.omit({ when: true }) },
  /** Clean, cool, then the steps that see what was repaired, the whole sequence, or the proof that it works. */
  'measure-again': {
    /** `beside`: a good board lies beside this one; missing: if one did in the last run of the sequence, and where it tells anything. */
    input: z.strictObject({ run, purpose: z.enum(['affected', 'whole', 'prove']), beside: z.boolean().optional() }),
    output: z.strictObject({ run: z.string() }),
  },
  /** A loose part, alone. `donor`: the board it comes from. */
  'test-donor': { input: z.strictObject({ run, part: z.string().min(1).max(40), donor: name }), output: z.strictObject({ run: z.string() }) },
  'close-board': { input: z.strictObject({ run, as: closing, because: z.string().max(1000), by: name }), output: repairView },
  /** One page on how the board was closed; fetched once, under `path`, as an export is. */
  'board-report': { input: z.strictObject({ run }), output: z.strictObject({ path: z.string(), name: z.string() }) },
} as const
