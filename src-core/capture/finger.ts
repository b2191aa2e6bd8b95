/**
 * Rule 8, above 150 kΩ: what has stood less long than a grip is given is taken only if a resistor would have read so since contact, for a
 * finger across the tips closes and wavers where a resistor stands at once, or rises ever slower as its capacitor fills. No limits here.
 */
import type { MeterFunction } from '../meter/reading'
import { band } from './band'
import {
  FINGERS_OHMS, FINGER_BAND_COUNTS, FINGER_BAND_SHARE, FINGER_BLIND_SHARE, FINGER_CHARGED_FROM, FINGER_COARSE_COUNTS,
  FINGER_COARSE_SHARE, FINGER_CONVERSIONS, FINGER_LEAST_OHMS, FINGER_OUTLIER_CONVERSIONS, GRIP_CLOSES_BY, GRIP_COUNTS,
  PARTS_RARE_OHMS, ROUNDING_COUNTS, STEADY_CONVERSIONS, WINDOW_GRIP, WINDOW_JITTER,
} from './figures'
import { spread } from './spread'
import type { Contact, Conversion } from './state'

const isOhms = (fn: MeterFunction): boolean => fn === 'resistance' || fn === 'continuity'

/** Rule 2: ohms so high that fingers on the tips would show. */
export const fingersShow = (value: number, fn: MeterFunction): boolean => isOhms(fn) && value > FINGERS_OHMS

/** Ohms so high that it may be a finger alone. */
export const mayBeFinger = (value: number, fn: MeterFunction): boolean => isOhms(fn) && value > FINGER_LEAST_OHMS

/** B for standing still: narrower where it may be a finger across the tips. */
export const stillBand = (value: number, count: number, fn: MeterFunction): number =>
  mayBeFinger(value, fn) ? Math.max(FINGER_BAND_COUNTS * count, FINGER_BAND_SHARE * value) : band(value, count)

/**
 * It may be a finger, and it has fallen since contact as a closing grip does: a resistor stands at once, and a capacitor across one
 * lets it rise. Larger falls are tips that bounced. A coarser range may have shown it rounded up.
 */
export const closesLikeAGrip = ({ whole, last }: Contact, fn: MeterFunction): boolean => {
  const [first, ...others] = whole
  if (first === undefined) return false
  const most = others.reduce((m, c) => (c.value > m.value ? c : m), first)
  if (!mayBeFinger(most.value, fn) || most.value > GRIP_CLOSES_BY * last.value) return false
  return most.value - last.value > Math.max(stillBand(most.value, last.count ?? 0, fn), GRIP_COUNTS * (most.count ?? 0))
}

const isCoarse = (count: number, value: number): boolean => count > FINGER_COARSE_SHARE * value

/** The conversion that made contact agrees with all that followed, on the same range: being part of something else did not move it. */
export const beganWithIt = ({ begun, window }: Contact, first: Conversion, fn: MeterFunction): boolean => {
  const count = first.count ?? 0
  const most = isCoarse(count, first.value) ? FINGER_COARSE_COUNTS * count : stillBand(first.value, count, fn)
  return begun.count === first.count && spread([begun, ...window], 0) <= most + ROUNDING_COUNTS * count
}

/** A window of conversions that otherwise stands still. */
export type Standing = { window: readonly Conversion[]; from: Conversion; to: Conversion; mean: number; count: number }

/** On a coarse display: not all since contact on this range is within one count, but for one in seven. What comes up from below charges. */
const wavers = (whole: readonly Conversion[], earlier: readonly Conversion[], s: Standing): boolean => {
  const came = whole.some((c) => c.value < FINGER_CHARGED_FROM * s.mean) ? [] : earlier.filter((c) => c.count === s.to.count)
  const all = [...came, ...s.window]
  const outliers = (of: readonly Conversion[]): number => Math.floor(of.length / FINGER_OUTLIER_CONVERSIONS)
  return [s.window, all].some((of) => spread(of, outliers(of)) > (FINGER_COARSE_COUNTS + ROUNDING_COUNTS) * s.count)
}

/** A conversion lies further than that narrower B below the straight line from an earlier one to the window: what charges never does. */
const risesByFits = (earlier: readonly Conversion[], s: Standing, fn: MeterFunction): boolean => {
  const middle = (s.from.at + s.to.at) / 2
  return earlier.some((low, j) => low.value < s.mean && earlier.slice(0, j).some((one) => {
    const line = one.value + (s.mean - one.value) * ((low.at - one.at) / (middle - one.at))
    return line - low.value > stillBand(s.mean, Math.max(low.count ?? 0, one.count ?? 0), fn)
  }))
}

/**
 * For less time than a grip is given, it may still be a finger. `charged`: 5 R·C were waited for, and what came before them tells
 * nothing; `begins`: the conversion that made contact agrees.
 */
export const hidesAFinger = (contact: Contact, s: Standing, fn: MeterFunction, charged: boolean, begins: boolean): boolean => {
  if (!mayBeFinger(s.mean, fn) || s.to.at - s.from.at >= WINDOW_GRIP - WINDOW_JITTER) return false
  if (s.mean > PARTS_RARE_OHMS || s.count > FINGER_BLIND_SHARE * s.mean) return true
  const coarse = isCoarse(s.count, s.mean)
  const least = charged && !coarse ? STEADY_CONVERSIONS : FINGER_CONVERSIONS - (charged || begins ? 1 : 0)
  if (s.window.length < least) return true
  const earlier = charged ? [] : contact.whole.filter((c) =>
    c.at < s.from.at && c.value <= GRIP_CLOSES_BY * s.mean && c.value * GRIP_CLOSES_BY >= s.mean)
  return (coarse && wavers(contact.whole, earlier, s)) || risesByFits(earlier, s, fn)
}
