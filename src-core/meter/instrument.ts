/** One physical meter as the shop knows it, and the bench kit it is checked with. */
import { z } from 'zod'
import { checkStandards, noCheckStandards } from '../metrology/check-standards'
import { portSettings } from './description'
import { meterFunction } from './reading'
import { blankRegisterEntry, registerEntry } from './register'
import { benchAir } from './surroundings'

const interval = z.strictObject({ from: z.number(), to: z.number() })

/** What a meter reads with the leads apart, and joined, in one function and range (null: any range). SI. */
export const airPattern = z.strictObject({
  function: meterFunction,
  range: z.number().positive().nullable(),
  apart: z.union([z.literal('overload'), interval]),
  joined: z.union([z.literal('overload'), interval]).nullable(),
})
export type AirPattern = z.infer<typeof airPattern>

export const accuracy = z.strictObject({ percent: z.number().min(0).max(100), counts: z.number().min(0).max(1000) })
export type Accuracy = z.infer<typeof accuracy>

const isoTime = z.iso.datetime()

export const meter = z.strictObject({
  id: z.string().min(1).max(64),
  name: z.string().min(1).max(80),
  /** Name of its meter description. */
  description: z.string().min(1),
  port: z.string().nullable(),
  /** Where the port is set otherwise than the description says. */
  settings: portSettings.nullable(),
  isolated: z.enum(['yes', 'no', 'unknown']),
  accuracy: z.partialRecord(meterFunction, accuracy),
  air: z.array(airPattern),
  /** Leads joined: resistance, and U (k = 2) of its resolution and repeatability alone, for telling whether it changed. */
  leadCheck: z.strictObject({ utc: isoTime, ohms: z.number(), U: z.number(), resolution: z.number().positive(), run: z.string() }).nullable(),
  /** Known diode both ways round: jacks, polarity, ceiling voltage. */
  diodeCheck: z.strictObject({ utc: isoTime, forwardVolts: z.number(), run: z.string() }).nullable(),
  sourceCheck: z.strictObject({ utc: isoTime, volts: z.number(), run: z.string() }).nullable(),
  /** Meters kept before there was a register have none. */
  register: registerEntry.default(blankRegisterEntry),
})
export type Meter = z.infer<typeof meter>

/** The same without what was learned from how it was connected: of a mistaken connection it would speak for another instrument. */
export const withoutConnection = (of: Meter): Meter => ({ ...of, port: null, settings: null, register: { ...of.register, cable: null, identification: null } })

const knownResistor = z.strictObject({ label: z.string().min(1).max(80), ohms: z.number().positive() })

export const sourceResistors = z.strictObject({ first: knownResistor, second: knownResistor })
  .refine((r) => r.second.ohms >= 2 * r.first.ohms, 'the second resistor must have at least twice the ohms of the first')
export type SourceResistors = z.infer<typeof sourceResistors>

/** Threefold apart, which tells the source's resistance; yet 1 mA through the second stays below a ceiling of 2 V. */
export const usualSourceResistors: SourceResistors = {
  first: { label: 'a 470 Ω 1 % resistor', ohms: 470 }, second: { label: 'a 1.5 kΩ 1 % resistor', ohms: 1500 },
}

export const benchKit = z.strictObject({
  knownDiode: z.strictObject({ label: z.string().min(1).max(80), leastVolts: z.number().positive(), mostVolts: z.number().positive() })
    .refine((d) => d.leastVolts < d.mostVolts, 'leastVolts must be below mostVolts'),
  knownSource: z.strictObject({ label: z.string().min(1).max(80), volts: z.number().positive().max(60), plusMinusVolts: z.number().positive() }),
  knownResistor: knownResistor.nullable(),
  /** Calibrated, for the check before a batch. Kits kept before there was one have none. */
  checkStandards: checkStandards.default(noCheckStandards),
  /** Ordinary resistors that a meter's source is fitted from. */
  sourceResistors: sourceResistors.default(usualSourceResistors),
  /** Missing: nobody stated it. */
  air: benchAir.optional(),
})
export type BenchKit = z.infer<typeof benchKit>

/** Common practice, no source: a silicon junction reads 0.45 V to 0.75 V; a fresh alkaline cell 1.5 V to 1.65 V. */
export const usualBenchKit: BenchKit = {
  knownDiode: { label: 'a loose silicon diode', leastVolts: 0.45, mostVolts: 0.75 },
  knownSource: { label: 'a fresh 1.5 V cell', volts: 1.55, plusMinusVolts: 0.15 },
  knownResistor: null,
  checkStandards: noCheckStandards,
  sourceResistors: usualSourceResistors,
}
