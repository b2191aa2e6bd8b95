/** The meter description: a file that says how to talk to a kind of meter. It is data; a new meter needs no code. */
import { z } from 'zod'
import { meterFlag, meterFunction } from './reading'

export const portSettings = z.strictObject({
  baud: z.number().int().min(50).max(4_000_000),
  dataBits: z.union([z.literal(5), z.literal(6), z.literal(7), z.literal(8)]),
  parity: z.enum(['none', 'even', 'odd', 'mark', 'space']),
  stopBits: z.union([z.literal(1), z.literal(2)]),
  dtr: z.boolean().optional(),
  rts: z.boolean().optional(),
})
export type PortSettings = z.infer<typeof portSettings>

const hexBytes = z.string().regex(/^([0-9a-f]{2}){1,4}$/, 'must be 1 to 4 bytes as lower-case hex, such as "0d0a"')

const lineFraming = z.strictObject({
  kind: z.literal('lines'),
  delimiter: hexBytes,
  maxBytes: z.number().int().min(4).max(128),
})

const describedFunction = z.strictObject({
  is: meterFunction,
  /** Largest figure the display shows in this function, such as 6000. */
  counts: z.number().int().min(100).max(10_000_000),
  /** Full scale of the lowest range, SI. */
  lowestRange: z.number().positive(),
  conversionSeconds: z.number().min(0.01).max(30).optional(),
})

export const meterDescription = z.strictObject({
  schema: z.literal('probewright/meter-description/1'),
  name: z.string().min(1).max(80),
  port: portSettings,
  framing: z.discriminatedUnion('kind', [lineFraming]),
  /** Regular expression over one line, without its delimiter; named groups function, value, prefix, unit, flags, range. */
  pattern: z.string().min(1).max(500),
  overload: z.array(z.string().min(1)).min(1),
  negativeOverload: z.array(z.string().min(1)).optional(),
  prefixes: z.record(z.string(), z.number().positive()),
  units: z.record(z.string(), z.enum(['V', 'Ω', 'F', 'H', 'Hz', 'K', 'A'])).optional(),
  flags: z.record(z.string().length(1), meterFlag),
  functions: z.record(z.string().min(1), describedFunction).refine((f) => Object.keys(f).length > 0, 'needs at least one function'),
})
export type MeterDescription = z.infer<typeof meterDescription>
