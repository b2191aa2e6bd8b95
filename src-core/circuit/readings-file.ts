/** The readings file: measured values at placements of one board, for diagnosis without the app that took them. */
import { z } from 'zod'
import { measuredValue, meterFunction } from '../meter/reading'
import { evidence } from '../run/event'

const source = z.strictObject({ volts: z.number().positive(), ohms: z.number().positive(), amperes: z.number().positive(), plus: z.enum(['red', 'black']) })

export const fileReading = z.strictObject({
  /** Ids of test points; a leg that `state` has lifted is "~C8.1". */
  red: z.string().min(1), black: z.string().min(1), function: meterFunction,
  /** SI. */
  value: measuredValue,
  /** Expanded uncertainty and its k, with a figure. */
  U: z.number().nonnegative().optional(), k: z.number().positive().optional(),
  evidence,
  /** With an overload: the value it is above, SI, where the meter's ceiling is known. */
  ceiling: z.number().positive().optional(),
}).refine(({ U, k }) => (U === undefined) === (k === undefined), 'U and k come together')
  .refine(({ value, ceiling }) => ceiling === undefined || value === 'overload', 'a ceiling belongs to an overload')
export type FileReading = z.infer<typeof fileReading>

export const readingsFile = z.strictObject({
  schema: z.literal('probewright/readings/1'),
  board: z.strictObject({ id: z.string().min(1), revision: z.string().min(1) }),
  /** Of the board; left out where nobody measured it. */
  celsius: z.number().optional(),
  state: z.array(z.discriminatedUnion('is', [
    z.strictObject({ ref: z.string().min(1), pin: z.string().min(1), is: z.literal('lifted') }),
    z.strictObject({ ref: z.string().min(1), is: z.enum(['removed', 'fitted', 'jumpered']) }),
  ])),
  /** What the meter drives, per function; left out: typical ones, and the answer says so. */
  sources: z.partialRecord(meterFunction, source).optional(),
  readings: z.array(fileReading),
})
export type ReadingsFile = z.infer<typeof readingsFile>
