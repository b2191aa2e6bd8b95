/** What the shop's register holds of one meter as an instrument: who calibrated it, until when, and how good it is. */
import { z } from 'zod'
import { meterFunction } from './reading'

const words = z.string().max(120)
/** A calendar day, as certificates state it. */
const day = z.iso.date()

/** One point of a certificate, SI: the standard's value, what the meter showed, and the laboratory's U with its k. */
export const calibratedPoint = z.strictObject({
  function: meterFunction, range: z.number().positive().nullable(), applied: z.number(), shown: z.number(), U: z.number().positive(), k: z.number().min(1).max(5),
})
export type CalibratedPoint = z.infer<typeof calibratedPoint>

const condition = z.enum(['within specification', 'outside specification', 'not stated'])

export const certificate = z.strictObject({
  number: words.min(1), laboratory: words.min(1),
  /** The laboratory's accreditation, such as its number with the accreditation body; empty: none stated. */
  accreditation: words,
  calibrated: day, due: day, asFound: condition, asLeft: condition, points: z.array(calibratedPoint).max(500),
})
export type Certificate = z.infer<typeof certificate>

/** Within these the stated accuracy holds. */
export const specificationConditions = z.strictObject({
  celsiusFrom: z.number().min(-50).max(100), celsiusTo: z.number().min(-50).max(100), months: z.number().int().min(1).max(120),
}).refine((c) => c.celsiusFrom < c.celsiusTo, 'celsiusFrom must be below celsiusTo')

/** ± (% of reading + counts) in one range of a function, SI full scale. */
export const rangeAccuracy = z.strictObject({
  function: meterFunction, range: z.number().positive(), percent: z.number().min(0).max(100), counts: z.number().min(0).max(1000),
})
export type RangeAccuracy = z.infer<typeof rangeAccuracy>

/** What the meter puts on its leads in one function and range (null: any range). */
export const meterSource = z.strictObject({
  function: z.enum(['resistance', 'continuity', 'diode', 'capacitance', 'dc-voltage']), range: z.number().positive().nullable(),
  volts: z.number().min(0).max(60), ohms: z.number().positive(),
  /** Null: none but what the resistance gives. */
  amperes: z.number().positive().nullable(),
  plus: z.enum(['red', 'black']), basis: z.enum(['entered', 'fitted']),
})
export type MeterSource = z.infer<typeof meterSource>

export const registerEntry = z.strictObject({
  /** What kind of instrument, in the shop's words. */
  kind: words, serialNumber: words,
  /** As on the shop's label; scanned at the start of a batch. */
  assetNumber: words,
  /** Null: never calibrated, or nobody entered it. */
  certificate: certificate.nullable(),
  conditions: specificationConditions.nullable(),
  ranges: z.array(rangeAccuracy).max(200),
  sources: z.array(meterSource).max(60),
  /** The cable it last hung on: a hint only, since a cable moves from meter to meter. */
  cable: z.string().max(200).nullable(),
  /** The instrument's own last reply to *IDN?; null for one that cannot say who it is. */
  identification: z.string().max(200).nullable(),
})
export type RegisterEntry = z.infer<typeof registerEntry>

export const blankRegisterEntry: RegisterEntry = {
  kind: '', serialNumber: '', assetNumber: '', certificate: null, conditions: null, ranges: [], sources: [], cable: null, identification: null,
}
