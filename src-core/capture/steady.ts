/** Rule 8, steady: the band B, the window W, and whether the latest conversions stand still within them. */
import type { MeterFunction } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import {
  BAND_COUNTS, BAND_SHARE, FINGERS_OHMS, FINGER_BAND_COUNTS, FINGER_BAND_SHARE, GRIP_CLOSES_BY, GRIP_CONVERSIONS, GRIP_COUNTS, GRIP_TREND_COUNTS, LONGER_WINDOWS, LONG_WAIT, RANGES_AGREE_COUNTS, RC_MATTERS, RC_WAITS,
  ROUNDING_COUNTS, SPREAD_ENDS_SHARE, STEADY_CONVERSIONS, TREND_BAND_SHARE, TREND_COUNTS, UNBROKEN_CONVERSIONS, UNBROKEN_SECONDS, WINDOW_GRIP, WINDOW_JITTER,
  WINDOW_MOST, WINDOW_SECONDS, WINDOW_SHARE, WINDOW_UNMEASURED,
} from './figures'
import type { Contact, Conversion } from './state'
import type { CaptureTask } from './task'

export type Steady = { mean: number; median: number; sd: number; band: number; window: Conversion[] }
export type Unsteady = { have: number; need: number; trend: boolean }

/** Conversion time gone by, s, and whether it was described or measured. */
export type Pace = { seconds: Seconds; known: boolean }

/** B, SI: the spread within which conversions count as one value, and by which two touches are told apart. */
export const band = (value: number, count: number | null): number =>
  Math.max(BAND_COUNTS * (count ?? 0), BAND_SHARE * Math.abs(value))

/** B for standing still: narrower where it may be a finger across the tips. */
const stillBand = (value: number, count: number, fn: MeterFunction): number =>
  mayBeFinger(value, fn) ? Math.max(FINGER_BAND_COUNTS * count, FINGER_BAND_SHARE * value) : band(value, count)

/** Ohms so high that fingers on the tips would show, or show alone. */
export const mayBeFinger = (value: number, fn: MeterFunction): boolean =>
  (fn === 'resistance' || fn === 'continuity') && value > FINGERS_OHMS

/**
 * It may be a finger, and it has fallen since contact as a closing grip does: a resistor stands at once, and a capacitor across one
 * lets it rise. Larger falls are tips that bounced. A coarser range may have shown it rounded up.
 */
const closesLikeAGrip = ({ most, last }: Contact, fn: MeterFunction): boolean => {
  if (most === null || !mayBeFinger(last.value, fn) || most.value > GRIP_CLOSES_BY * last.value) return false
  return most.value - last.value > Math.max(stillBand(last.value, last.count ?? 0, fn), GRIP_COUNTS * (most.count ?? 0))
}

/** Functions in which many meters take seconds for a conversion. */
const takesLong: Record<MeterFunction, boolean> = {
  'dc-voltage': false, 'ac-voltage': false, resistance: false, continuity: false, diode: false, 'dc-current': false, 'ac-current': false,
  capacitance: true, inductance: true, frequency: true, temperature: true,
}

/**
 * W, s, at the latest conversion. Its growth guards against an R·C that nobody told; where 5 R·C is known and has been
 * waited for, W stays at its least.
 */
export const windowSeconds = (contact: Contact, task: CaptureTask, pace: Pace): Seconds => {
  const sinceContact = contact.last.at - contact.since
  const unmeasured = !pace.known && takesLong[task.function]
  const least = closesLikeAGrip(contact, task.function) ? WINDOW_GRIP : unmeasured ? WINDOW_UNMEASURED : WINDOW_SECONDS
  return (chargingSeconds(task) > 0 ? least : Math.min(WINDOW_MOST, Math.max(least, WINDOW_SHARE * sinceContact))) as Seconds
}

/** 5 R·C where that is known and matters, s; else 0. */
export const chargingSeconds = (task: CaptureTask): Seconds =>
  (task.rcSeconds !== null && task.rcSeconds > RC_MATTERS ? RC_WAITS * task.rcSeconds : 0) as Seconds

/** The step has to say beforehand that this placement takes its time. */
export const waitsLong = (task: CaptureTask): boolean => chargingSeconds(task) > LONG_WAIT

/** Least-squares slope of value over time, per second; 0 for conversions of one moment. */
export const slope = (points: readonly { at: number; value: number }[]): number => {
  const n = points.length
  const meanAt = points.reduce((sum, p) => sum + p.at, 0) / n
  const meanValue = points.reduce((sum, p) => sum + p.value, 0) / n
  let across = 0
  let along = 0
  for (const p of points) {
    across += (p.at - meanAt) * (p.value - meanValue)
    along += (p.at - meanAt) ** 2
  }
  return along === 0 ? 0 : across / along
}

const largestCount = (window: readonly Conversion[]): number => window.reduce((most, c) => Math.max(most, c.count ?? 0), 0)

const medianOf = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b)
  const half = Math.floor(sorted.length / 2)
  const upper = sorted[half] ?? 0
  return sorted.length % 2 === 1 ? upper : ((sorted[half - 1] ?? upper) + upper) / 2
}

/** Mean, median and standard deviation (n − 1) of conversions, kept between the least and the greatest of them. */
export const summary = (window: readonly Conversion[]): { mean: number; median: number; sd: number } => {
  const values = window.map((c) => c.value)
  const n = values.length
  const rough = values.reduce((sum, v) => sum + v, 0) / n
  const mean = Math.min(Math.max(rough, Math.min(...values)), Math.max(...values))
  const sd = n < 2 ? 0 : Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (n - 1))
  return { mean, median: medianOf(values), sd }
}

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

/** Greatest less least; of long windows, whose extremes grow with their number, without one in twenty at each end. */
const spread = (window: readonly Conversion[]): number => {
  const sorted = window.map((c) => c.value).sort((a, b) => a - b)
  const ends = Math.floor(sorted.length * SPREAD_ENDS_SHARE)
  return (sorted[sorted.length - 1 - ends] ?? 0) - (sorted[ends] ?? 0)
}

const standsStill = (window: readonly Conversion[], fn: MeterFunction): Steady | null => {
  const first = window[0]
  const last = window.at(-1)
  if (first === undefined || last === undefined) return null
  const numbers = summary(window)
  const count = largestCount(window)
  const b = stillBand(numbers.mean, count, fn)
  const rounding = ROUNDING_COUNTS * count
  if (spread(window) > b + rounding) return null
  const drift = slope(window) * (last.at - first.at)
  const grip = drift < 0 && mayBeFinger(numbers.mean, fn)
  if (grip && window.length < GRIP_CONVERSIONS) return null
  const counts = grip ? GRIP_TREND_COUNTS : TREND_COUNTS
  if (Math.abs(drift) > Math.max(counts * count, TREND_BAND_SHARE * band(numbers.mean, count)) + rounding) return null
  return { ...numbers, band: b, window: [...window] }
}

/**
 * Conversions of one unbroken level: the window, and the one before it where that agrees. It is counted here, but not taken into the
 * value. The parts of a slip shorter than the dwell that lie in the conversion before and in the last one are less than one conversion
 * together; were both still within B of the slip's level, that level would be within 2·B of the true one.
 */
const unbroken = ({ window, begun }: Contact): { conversions: number; seconds: number } => {
  const first = window[0]
  const last = window.at(-1)
  if (first === undefined || last === undefined) return { conversions: 0, seconds: 0 }
  const sameRange = begun.count === first.count
  const agrees = Math.abs(begun.value - first.value) <= (sameRange ? band(first.value, first.count) : RANGES_AGREE_COUNTS * (begun.count ?? 0))
  return { conversions: window.length + (agrees ? 1 : 0), seconds: last.at - (agrees ? begun.at : first.at) }
}

/**
 * Whether the latest conversions since the last jump stand still. The shortest window that rule 8 allows is tried, and a few longer
 * ones, longest first: a slow drift fails the longer ones sooner.
 */
export const judgeSteady = (contact: Contact, task: CaptureTask, pace: Pace): Steady | Unsteady => {
  const { window, last } = contact
  const span = windowSeconds(contact, task, pace)
  const need = Math.max(UNBROKEN_CONVERSIONS, Math.ceil((span - WINDOW_JITTER) / pace.seconds) + 1)
  const level = unbroken(contact)
  const start = windowStart(window, span)
  if (start < 0 || level.conversions < UNBROKEN_CONVERSIONS || level.seconds < UNBROKEN_SECONDS) {
    return { have: Math.min(window.length, need - 1), need, trend: false }
  }
  for (let from = Math.max(0, start - LONGER_WINDOWS); from <= start; from += 1) {
    const steady = standsStill(window.slice(from), task.function)
    if (steady !== null) return steady
  }
  const close = window.slice(start).filter((c) => Math.abs(c.value - last.value) <= band(last.value, last.count)).length
  return { have: Math.min(close, need - 1), need, trend: true }
}
