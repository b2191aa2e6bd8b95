/** The meter description: a file that says how to talk to a kind of meter. It is data; a new meter needs no code. */
import { z } from 'zod'
import { framing } from './framing'
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

const describedFunction = z.strictObject({
  is: meterFunction,
  counts: z.number().int().min(100).max(10_000_000).describe('Largest figure the display shows in this function, such as 6000.'),
  lowestRange: z.number().positive().describe('Full scale of the lowest range, SI.'),
  conversionSeconds: z.number().min(0.01).max(30).describe('How long the meter takes for one new measurement.').optional(),
})

export const meterDescription = z.strictObject({
  $schema: z.string().max(400).describe('Where an editor finds the JSON Schema of this file; the app does not read it.').optional(),
  schema: z.literal('probewright/meter-description/1'),
  name: z.string().min(1).max(80),
  port: portSettings,
  framing,
  pattern: z.string().min(1).max(500)
    .describe('Of lines: a regular expression over one line, without its delimiter; named groups function, value, prefix, unit, flags, range.').optional(),
  overload: z.array(z.string().min(1)).describe('What the display shows when it is out of range.').default([]),
  negativeOverload: z.array(z.string().min(1)).describe('The same with its sign, where it is more than a − before it.').optional(),
  prefixes: z.record(z.string(), z.number().positive()).describe('The power of ten of each prefix, such as { "k": 1e3 }.').default({}),
  units: z.record(z.string(), z.enum(['V', 'Ω', 'F', 'H', 'Hz', 'K', 'A'])).describe('What the meter writes for a unit, where it is not the usual.').optional(),
  flags: z.record(z.string().length(1), meterFlag).describe('What each letter of the flags means.').default({}),
  functions: z.record(z.string().min(1), describedFunction).refine((f) => Object.keys(f).length > 0, 'needs at least one function'),
})
export type MeterDescription = z.infer<typeof meterDescription>
