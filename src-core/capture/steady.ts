/** Rule 8, steady: the band B, the window W, and whether the latest conversions stand still within them. */
import type { Seconds } from '../quantity/units'
import {
  BAND_COUNTS, BAND_SHARE, RC_MATTERS, RC_WAITS, LONG_WAIT, STEADY_CONVERSIONS, TREND_BAND_SHARE, TREND_COUNTS,
  WINDOW_JITTER, WINDOW_MOST, WINDOW_SECONDS, WINDOW_SHARE,
} from './figures'
import type { Conversion } from './state'
import type { CaptureTask } from './task'

export type Steady = { mean: number; median: number; sd: number; band: number; window: Conversion[] }
export type Unsteady = { have: number; need: number; trend: boolean }

/** B, SI: the spread within which conversions count as one value. */
export const band = (value: number, count: number | null): number =>
  Math.max(BAND_COUNTS * (count ?? 0), BAND_SHARE * Math.abs(value))

/**
 * W, s, at so many seconds after contact. Its growth guards against an R·C that nobody told; where 5 R·C is known and has been
 * waited for, W stays at its least.
 */
export const windowSeconds = (sinceContact: number, rcWaitedFor: boolean): Seconds =>
  (rcWaitedFor ? WINDOW_SECONDS : Math.min(WINDOW_MOST, Math.max(WINDOW_SECONDS, WINDOW_SHARE * sinceContact))) as Seconds

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

/** Whether the latest conversions, `since` the contact began, stand still. `conversion`: conversion time, s. */
export const judgeSteady = (conversions: readonly Conversion[], since: Seconds, conversion: Seconds, rcWaitedFor: boolean): Steady | Unsteady => {
  const last = conversions.at(-1)
  const span = windowSeconds(last === undefined ? 0 : last.at - since, rcWaitedFor)
  const need = Math.max(STEADY_CONVERSIONS, Math.ceil((span - WINDOW_JITTER) / conversion) + 1)
  const start = windowStart(conversions, span)
  if (start < 0 || last === undefined) return { have: Math.min(conversions.length, need - 1), need, trend: false }
  const window = conversions.slice(start)
  const numbers = summary(window)
  const count = largestCount(window)
  const b = band(numbers.mean, count)
  const within = b + 0.01 * count
  const close = window.filter((c) => Math.abs(c.value - last.value) <= within).length
  const values = window.map((c) => c.value)
  if (Math.max(...values) - Math.min(...values) > within) return { have: Math.min(close, need - 1), need, trend: true }
  const first = window[0] ?? last
  const drift = Math.abs(slope(window)) * (last.at - first.at)
  if (drift > Math.max(TREND_COUNTS * count, TREND_BAND_SHARE * b)) return { have: need - 1, need, trend: true }
  return { ...numbers, band: b, window }
}
