/** Rule 8, steady: whether the latest conversions stand still within B over W. */
import type { MeterFunction } from '../meter/reading'
import { band } from './band'
import {
  LONGER_WINDOWS, RANGES_AGREE_COUNTS, ROUNDING_COUNTS, SPREAD_OUTLIER_SHARE, STEADY_CONVERSIONS,
  TREND_BAND_SHARE, TREND_COUNTS, TREND_NOISE_COUNTS, UNBROKEN_CONVERSIONS, UNBROKEN_SECONDS, WINDOW_GRIP, WINDOW_JITTER,
} from './figures'
import { beganWithIt, hidesAFinger, mayBeFinger, stillBand } from './finger'
import { largestCount, slope, spread, summary } from './spread'
import type { Contact, Conversion } from './state'
import type { CaptureTask } from './task'
import { chargingSeconds, windowSeconds, type Pace } from './window'

export { band } from './band'
export { chargingSeconds } from './window'

export type Steady = { mean: number; median: number; sd: number; band: number; window: Conversion[] }
export type Unsteady = { have: number; need: number; trend: boolean }

/** Index of the first of the latest conversions that are enough and span W; −1 while there are none. */
const windowStart = (conversions: readonly Conversion[], span: number): number => {
  const last = conversions.at(-1)
  if (last === undefined) return -1
  for (let i = conversions.length - STEADY_CONVERSIONS; i >= 0; i -= 1) {
    const first = conversions[i]
    if (first !== undefined && last.at - first.at >= span - WINDOW_JITTER) return i
  }
  return -1
}

/** `begins`: the conversion that made contact agrees. The steady value, or null. */
const standsStill = (contact: Contact, window: readonly Conversion[], task: CaptureTask, begins: boolean): Steady | null => {
  const fn = task.function
  const first = window[0]
  const last = window.at(-1)
  if (first === undefined || last === undefined) return null
  const numbers = summary(window)
  const count = largestCount(window)
  const rounding = ROUNDING_COUNTS * count
  if (spread(window, Math.floor(window.length * SPREAD_OUTLIER_SHARE)) > stillBand(numbers.mean, count, fn) + rounding) return null
  const drift = slope(window) * (last.at - first.at)
  const grip = drift < 0 && mayBeFinger(numbers.mean, fn)
  const most = Math.max(TREND_COUNTS * count, TREND_BAND_SHARE * band(numbers.mean, count)) + (grip ? 0 : TREND_NOISE_COUNTS * count)
  if (Math.abs(drift) > most + rounding) return null
  const standing = { window, from: first, to: last, mean: numbers.mean, count }
  if (hidesAFinger(contact, standing, fn, chargingSeconds(task) > 0, begins)) return null
  return { ...numbers, band: band(numbers.mean, count), window: [...window] }
}

/**
 * Conversions of one unbroken level: the window, and the one before it where that agrees. It is counted here, but not taken into the
 * value. The parts of a slip shorter than the dwell that lie in the conversion before and in the last one are less than one conversion
 * together; were both still within B of the slip's level, that level would be within 2·B of the true one.
 */
const unbroken = (contact: Contact, fn: MeterFunction): { conversions: number; seconds: number; begins: boolean } => {
  const { window, begun } = contact
  const first = window[0]
  const last = window.at(-1)
  if (first === undefined || last === undefined) return { conversions: 0, seconds: 0, begins: false }
  const near = begun.count === first.count ? band(first.value, first.count) : RANGES_AGREE_COUNTS * (begun.count ?? 0)
  const agrees = mayBeFinger(first.value, fn) ? beganWithIt(contact, first, fn) : Math.abs(begun.value - first.value) <= near
  return { conversions: window.length + (agrees ? 1 : 0), seconds: last.at - (agrees ? begun.at : first.at), begins: agrees }
}

/**
 * Whether the latest conversions since the last jump stand still. The shortest window that rule 8 allows is tried, and a few longer
 * ones, longest first: a slow drift fails the longer ones sooner.
 */
export const judgeSteady = (contact: Contact, task: CaptureTask, pace: Pace): Steady | Unsteady => {
  const { window, last } = contact
  const span = windowSeconds(contact, task, pace)
  const need = Math.max(UNBROKEN_CONVERSIONS, Math.ceil((span - WINDOW_JITTER) / pace.seconds) + 1)
  const level = unbroken(contact, task.function)
  const start = windowStart(window, span)
  if (start < 0 || level.conversions < UNBROKEN_CONVERSIONS || level.seconds < UNBROKEN_SECONDS) {
    return { have: Math.min(window.length, need - 1), need, trend: false }
  }
  for (let from = Math.max(0, start - LONGER_WINDOWS); from <= start; from += 1) {
    const steady = standsStill(contact, window.slice(from), task, level.begins)
    if (steady !== null) return steady
  }
  const asLongAsAGrip = mayBeFinger(last.value, task.function) ? windowStart(window, Math.max(span, WINDOW_GRIP)) : -1
  const stood = asLongAsAGrip < 0 ? null : standsStill(contact, window.slice(asLongAsAGrip), task, level.begins)
  if (stood !== null) return stood
  const close = window.slice(start).filter((c) => Math.abs(c.value - last.value) <= band(last.value, last.count)).length
  return { have: Math.min(close, need - 1), need, trend: true }
}
