/** Count, mean and scatter of values that come one by one, and of which one may be taken back. */
import type { Summary } from '../metrology/summary'

/** `squares`: Σ(x − mean)². */
export type Running = { count: number; mean: number; squares: number }

export const nothingYet: Running = { count: 0, mean: 0, squares: 0 }

/** Welford's recurrence (Technometrics 4, 1962; from memory). */
export const withValue = ({ count, mean, squares }: Running, value: number): Running => {
  const next = mean + (value - mean) / (count + 1)
  return { count: count + 1, mean: next, squares: squares + (value - mean) * (value - next) }
}

/** The same backwards. */
export const withoutValue = ({ count, mean, squares }: Running, value: number): Running => {
  if (count <= 1) return nothingYet
  const before = mean + (mean - value) / (count - 1)
  return { count: count - 1, mean: before, squares: Math.max(0, squares - (value - mean) * (value - before)) }
}

/** Two samples as one (Chan, Golub and LeVeque 1979; from memory). */
export const together = (one: Running, other: Running): Running => {
  const count = one.count + other.count
  if (count === 0) return nothingYet
  const apart = other.mean - one.mean
  return { count, mean: one.mean + apart * other.count / count, squares: one.squares + other.squares + apart ** 2 * one.count * other.count / count }
}

export const summaryOfRunning = ({ count, mean, squares }: Running): Summary | null =>
  (count === 0 ? null : { count, mean, sd: count < 2 ? null : Math.sqrt(squares / (count - 1)) })
