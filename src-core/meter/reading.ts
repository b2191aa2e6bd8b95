/** One decoded value of the meter: what it measured, in SI, and when it arrived. */
import { z } from 'zod'
import type { Seconds } from '../quantity/units'

export const meterFunction = z.enum([
  'dc-voltage', 'ac-voltage', 'resistance', 'continuity', 'diode', 'capacitance', 'inductance',
  'frequency', 'temperature', 'dc-current', 'ac-current',
])
export type MeterFunction = z.infer<typeof meterFunction>

export const unitSymbol = z.enum(['V', 'Ω', 'F', 'H', 'Hz', 'K', 'A'])
export type UnitSymbol = z.infer<typeof unitSymbol>

/** The unit each function implies. */
export const unitOf: Record<MeterFunction, UnitSymbol> = {
  'dc-voltage': 'V', 'ac-voltage': 'V', resistance: 'Ω', continuity: 'Ω', diode: 'V', capacitance: 'F',
  inductance: 'H', frequency: 'Hz', temperature: 'K', 'dc-current': 'A', 'ac-current': 'A',
}

export const meterFlag = z.enum([
  'hold', 'relative', 'minimum', 'maximum', 'average', 'peak', 'low-battery', 'auto-range', 'manual-range',
])
export type MeterFlag = z.infer<typeof meterFlag>

export const measuredValue = z.union([z.number(), z.literal('overload'), z.literal('negative-overload')])
/** SI value, or the meter's out-of-range indication. */
export type MeasuredValue = z.infer<typeof measuredValue>

export const reading = z.strictObject({
  at: z.number().transform((at) => at as Seconds),
  function: meterFunction,
  value: measuredValue,
  unit: unitSymbol,
  resolution: z.number().positive().nullable(),
  range: z.number().positive().nullable(),
  flags: z.array(meterFlag),
  raw: z.string().regex(/^([0-9a-f]{2})*$/),
})
/** `resolution` is the SI value of one count, null with overload; `range` is full scale, SI; `raw` is the hex of the whole frame. */
export type Reading = z.infer<typeof reading>
