/** Check standards: a calibrated resistor and diode that a meter is measured against before a batch, and what came of it. */
import { z } from 'zod'
import { measuredValue, meterFunction, type MeasuredValue, type MeterFunction } from '../meter/reading'

const words = z.string().min(1).max(120)
const day = z.iso.date()

/** As its certificate states it: U with its own k. */
const calibration = { label: z.string().min(1).max(80), certificateNumber: words, laboratory: words, calibrated: day, due: day, U: z.number().positive(), k: z.number().min(1).max(5) }

export const checkResistor = z.strictObject({ ...calibration, ohms: z.number().positive() })
export const checkDiode = z.strictObject({
  ...calibration, volts: z.number().positive().max(10),
  /** The current its voltage was calibrated at; null: not stated. */
  amperes: z.number().positive().nullable(),
})
export const checkStandards = z.strictObject({ resistor: checkResistor.nullable(), diode: checkDiode.nullable() })
export type CheckStandards = z.infer<typeof checkStandards>

export const noCheckStandards: CheckStandards = { resistor: null, diode: null }

export const checkKinds = ['resistor', 'diode'] as const
export const checkKind = z.enum(checkKinds)
export type CheckKind = z.infer<typeof checkKind>

/** One standard as a check looks at it: SI, U at k = 2. */
export const checkedStandard = z.strictObject({ kind: checkKind, label: z.string(), certificateNumber: z.string(), value: z.number(), U: z.number().positive(), calibrated: day, due: day })
export type CheckedStandard = z.infer<typeof checkedStandard>

/** One check, once and for all. */
export const checkResult = z.strictObject({
  id: z.string().min(1), utc: z.iso.datetime(), meter: z.string().min(1), run: z.string().min(1),
  standard: checkedStandard, function: meterFunction,
  value: measuredValue,
  /** Expanded uncertainty of the value, k = 2; null where the meter's resolution is not known, or an overload showed. */
  U: z.number().nullable(), conversions: z.number().int().positive(),
  /** Value less the standard's; null with an overload. */
  difference: z.number().nullable(), limit: z.number().positive(), standardInDate: z.boolean(), good: z.boolean(),
})
export type CheckResult = z.infer<typeof checkResult>

export const checkFunction: Record<CheckKind, MeterFunction> = { resistor: 'resistance', diode: 'diode' }
export const standardWords: Record<CheckKind, string> = { resistor: 'Check resistor', diode: 'Check diode' }

/** U of a certificate at k = 2. */
export const atTwo = (U: number, k: number): number => (2 * U) / k

/** A standard or an instrument counts on every day from its calibration to its due date, both among them. @param at UTC. */
export const calibrationHolds = ({ calibrated, due }: { calibrated: string; due: string }, at: string): boolean => {
  const today = at.slice(0, 10)
  return calibrated <= today && today <= due
}

export const standardOf = (standards: CheckStandards, kind: CheckKind): CheckedStandard | null => {
  const found = standards[kind]
  if (found === null) return null
  const { label, certificateNumber, calibrated, due } = found
  return { kind, label, certificateNumber, calibrated, due, value: 'ohms' in found ? found.ohms : found.volts, U: atTwo(found.U, found.k) }
}

/**
 * √(U² + U_ref²), both at k = 2: a difference of at most this is an E_n number of at most 1
 * (ISO 13528:2022, 9.7, and ISO/IEC 17043; from memory).
 */
export const checkLimit = (U: number | null, standard: Pick<CheckedStandard, 'U'>): number => Math.hypot(U ?? 0, standard.U)

/** Steps and limits are figures of the display: a difference on the limit by its digits is on it, whatever binary makes of it. */
const withoutDust = (value: number): number => Number(value.toPrecision(12))

type Measured = Pick<CheckResult, 'id' | 'utc' | 'meter' | 'run' | 'conversions'> & { value: MeasuredValue; U: number | null }

export const judgeCheck = (standard: CheckedStandard, { id, utc, meter, run, conversions, value, U }: Measured): CheckResult => {
  const limit = checkLimit(U, standard)
  const difference = typeof value === 'number' ? withoutDust(value - standard.value) : null
  const standardInDate = calibrationHolds(standard, utc)
  const within = difference !== null && Math.abs(difference) <= withoutDust(limit)
  return { id, utc, meter, run, standard, function: checkFunction[standard.kind], value, U, conversions, difference, limit, standardInDate, good: within && standardInDate }
}

/** A standard out of date proves nothing in the meter's favour; a miss with it is a miss. */
export const checkOutcome = (check: CheckResult): 'good' | 'failed' | 'standard out of date' =>
  check.good ? 'good' : check.difference === null || Math.abs(check.difference) > withoutDust(check.limit) ? 'failed' : 'standard out of date'

/** The same thing on the bench, whatever its latest certificate says. */
export const sameStandard = (a: CheckedStandard, b: CheckedStandard): boolean => a.kind === b.kind && a.label === b.label

/** How far apart two standards may lie to try a meter at the same place (our choice). */
const samePlace = 0.2

/**
 * Whether a later good check answers a failed one: with the same standard; or, since a standard can be lost or break, with another of its
 * kind at about the same value that tries the meter at least as hard.
 */
export const answers = (later: CheckResult, failed: CheckResult): boolean => {
  if (!later.good || Date.parse(later.utc) <= Date.parse(failed.utc)) return false
  const [by, was] = [later.standard, failed.standard]
  if (sameStandard(by, was)) return true
  return by.kind === was.kind && Math.abs(by.value - was.value) <= samePlace * was.value && later.limit / by.value <= failed.limit / was.value
}
