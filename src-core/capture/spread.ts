/** What a window of conversions comes to: slope, spread, mean, median, standard deviation. */
import type { Conversion } from './state'

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

export const largestCount = (window: readonly Conversion[]): number => window.reduce((most, c) => Math.max(most, c.count ?? 0), 0)

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

/** Greatest less least, without so many outliers, whichever end they are at. */
export const spread = (window: readonly Conversion[], outliers: number): number => {
  const sorted = window.map((c) => c.value).sort((a, b) => a - b)
  const kept = sorted.length - outliers
  const spreads = Array.from({ length: outliers + 1 }, (_, from) => (sorted[from + kept - 1] ?? 0) - (sorted[from] ?? 0))
  return Math.min(...spreads)
}
