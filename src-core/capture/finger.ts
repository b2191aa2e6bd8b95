/** Rule 8, above 200 kΩ: a finger across the tips reads as a resistor does, but wavers, and closes. Limits play no part. */
import type { MeterFunction } from '../meter/reading'
import { band } from './band'
import {
  FINGERS_OHMS, FINGER_BAND_COUNTS, FINGER_BAND_SHARE, FINGER_COARSE_COUNTS, FINGER_COARSE_SHARE, FINGER_OUTLIER_CONVERSIONS,
  GRIP_CLOSES_BY, GRIP_COUNTS, ROUNDING_COUNTS, WINDOW_GRIP, WINDOW_JITTER,
} from './figures'
import { spread } from './spread'
import type { Contact, Conversion } from './state'

/** B for standing still: narrower where it may be a finger across the tips. */
export const stillBand = (value: number, count: number, fn: MeterFunction): number =>
  mayBeFinger(value, fn) ? Math.max(FINGER_BAND_COUNTS * count, FINGER_BAND_SHARE * value) : band(value, count)

/** Ohms so high that fingers on the tips would show, or show alone. */
export const mayBeFinger = (value: number, fn: MeterFunction): boolean =>
  (fn === 'resistance' || fn === 'continuity') && value > FINGERS_OHMS

/**
 * It may be a finger, and it has fallen since contact as a closing grip does: a resistor stands at once, and a capacitor across one
 * lets it rise. Larger falls are tips that bounced. A coarser range may have shown it rounded up.
 */
export const closesLikeAGrip = ({ most, last }: Contact, fn: MeterFunction): boolean => {
  if (most === null || !mayBeFinger(most.value, fn) || most.value > GRIP_CLOSES_BY * last.value) return false
  return most.value - last.value > Math.max(stillBand(most.value, last.count ?? 0, fn), GRIP_COUNTS * (most.count ?? 0))
}

/**
 * On so coarse a display a finger hides within two counts: for less time than a grip is given, the window must hold `least` conversions
 * within one count, but for one in seven.
 */
export const hidesAFinger = (window: readonly Conversion[], mean: number, count: number, fn: MeterFunction, least: number): boolean => {
  const first = window[0]
  const last = window.at(-1)
  if (first === undefined || last === undefined || !mayBeFinger(mean, fn) || count <= FINGER_COARSE_SHARE * mean) return false
  if (last.at - first.at >= WINDOW_GRIP - WINDOW_JITTER) return false
  const outliers = Math.floor(window.length / FINGER_OUTLIER_CONVERSIONS)
  return window.length < least || spread(window, outliers) > (FINGER_COARSE_COUNTS + ROUNDING_COUNTS) * count
}
