/** From the limits of a step to its acceptance interval: which values pass, and whether an overload does. */
import type { MeterFunction } from '../meter/reading'
import type { Limits } from './limits'

/** Bounds in SI, both within (JCGM 106:2012, 3.3.9); null: no bound on that side. */
export type AcceptanceInterval =
  | { kind: 'values'; lo: number | null; hi: number | null; overloadPasses: boolean }
  /** Passes on overload or on a value in the air pattern; any other value fails. */
  | { kind: 'open' }

type TwoSided = Extract<Limits, { between: unknown } | { nominal: unknown }>

/** Common practice, no source: a joint at or under 1 Ω after lead resistance, 10 mV in diode test, is a short. */
export const shortOhms = 1
export const shortVolts = 0.01

/** Twelve digits: 4700 · 1.05 is 4935, not 4935.000000000001, and a value shown as the limit lies on it. */
const withoutBinaryDust = (value: number): number => Number(value.toPrecision(12))

/** Lower and upper tolerance limit, SI. */
export const toleranceInterval = (limits: TwoSided): [lo: number, hi: number] =>
  'between' in limits
    ? [limits.between[0], limits.between[1]]
    : [withoutBinaryDust(limits.nominal * (1 - limits.tolerance)), withoutBinaryDust(limits.nominal * (1 + limits.tolerance))]

const shortBound = (f: MeterFunction): number | null =>
  f === 'resistance' || f === 'continuity' ? shortOhms : f === 'diode' ? shortVolts : null

/** What is wrong with these limits in this function, as a sentence; null: nothing. */
export const limitsMisfit = (limits: Limits, f: MeterFunction): string | null =>
  limits === 'short' && shortBound(f) === null
    ? `"short" means nothing for ${f}: it is for resistance, continuity and diode. Write figures, such as { "atMost": 0.01 }.`
    : null

/** @throws RangeError when the limits mean nothing in this function; limitsMisfit tells beforehand. */
export const acceptanceInterval = (limits: Limits, f: MeterFunction): AcceptanceInterval => {
  if (limits === 'open') return { kind: 'open' }
  if (limits === 'short') {
    const hi = shortBound(f)
    if (hi === null) throw new RangeError(limitsMisfit(limits, f) ?? '')
    return { kind: 'values', lo: null, hi, overloadPasses: false }
  }
  if ('atMost' in limits) return { kind: 'values', lo: null, hi: limits.atMost, overloadPasses: false }
  if ('atLeast' in limits) return { kind: 'values', lo: limits.atLeast, hi: null, overloadPasses: true }
  const [lo, hi] = toleranceInterval(limits)
  return { kind: 'values', lo, hi, overloadPasses: false }
}

/** Lower and upper bound as a table or a record has them, SI; null: none on that side. @throws RangeError as acceptanceInterval does. */
export const boundsOf = (limits: Limits, f: MeterFunction): { low: number | null; high: number | null } => {
  const interval = acceptanceInterval(limits, f)
  return interval.kind === 'open' ? { low: null, high: null } : { low: interval.lo, high: interval.hi }
}
