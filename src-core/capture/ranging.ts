/** Rule 6, ranging: a range that is not yet settled, two that alternate, and a meter too coarse for the limits. */
import type { Limits } from '../metrology/limits'
import type { MeterFunction } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import { CLEAR_COUNTS, COARSE_SHARE, RANGE_STANDS_SECONDS, RANGING_SHARE } from './figures'
import type { Contact, Conversion } from './state'
import type { CaptureTask } from './task'

/** What tells ranges apart: full scale, or the resolution where the range is not sent. */
export const rangeKey = (c: { range: number | null; count: number | null }): number | null => c.range ?? c.count

const fullScale = (c: Conversion, counts: number | null): number | null =>
  c.range ?? (c.count !== null && counts !== null ? c.count * counts : null)

export const rangeStands = (contact: Contact, at: Seconds): boolean => {
  const newest = contact.ranges.at(-1)
  return newest !== undefined && at - newest.at >= RANGE_STANDS_SECONDS
}

/** A value too small for the range it stands on: a lower range will follow. */
export const stillRanging = (contact: Contact, task: CaptureTask, at: Seconds): boolean => {
  if (contact.manualRange || rangeStands(contact, at)) return false
  const scale = fullScale(contact.last, task.counts)
  if (scale === null || (task.lowestRange !== null && scale <= task.lowestRange * 1.01)) return false
  return Math.abs(contact.last.value) < RANGING_SHARE * scale
}

/** The meter went back to a range it had left in this contact: that range is believed only once it has stood. */
export const rangeCameBack = (contact: Contact, at: Seconds): boolean => {
  if (contact.manualRange || rangeStands(contact, at)) return false
  const keys = contact.ranges.map((r) => r.key)
  return keys.slice(0, -1).includes(keys.at(-1) ?? null)
}

/** Two ranges that have alternated for 3 s. */
export const isHunting = (contact: Contact, at: Seconds): boolean => {
  if (!rangeCameBack(contact, at)) return false
  const { ranges } = contact
  let first = ranges.length - 1
  while (first >= 2 && ranges[first]?.key === ranges[first - 2]?.key) first -= 1
  const from = ranges[Math.max(0, first - 1)]
  return from !== undefined && at - from.at >= RANGE_STANDS_SECONDS
}

/** Figures between which a value passes; null where that side is open. `short` as in the board file: 1 Ω, or 10 mV in diode test. */
export const limitFigures = (limits: Limits, fn: MeterFunction): { low: number | null; high: number | null } => {
  if (limits === 'open') return { low: null, high: null }
  if (limits === 'short') return { low: null, high: fn === 'diode' ? 0.01 : 1 }
  if ('between' in limits) return { low: limits.between[0], high: limits.between[1] }
  if ('nominal' in limits) return { low: limits.nominal * (1 - limits.tolerance), high: limits.nominal * (1 + limits.tolerance) }
  return 'atMost' in limits ? { low: null, high: limits.atMost } : { low: limits.atLeast, high: null }
}

/** Full scale of the lowest range that shows a value: ranges go up in decades (common practice, no source). */
const leastScale = (value: number, lowestRange: number): number => {
  const decades = Math.ceil(Math.log10(Math.abs(value) / lowestRange) - 1e-9)
  return lowestRange * 10 ** Math.max(0, Number.isFinite(decades) ? decades : 0)
}

/** Before anything is measured: one count where no value within the limits could be judged, for it is too coarse on every range they lie in; null: it is not, or the display is not known. */
export const coarseThroughout = (task: Pick<CaptureTask, 'limits' | 'function' | 'lowestRange' | 'counts'>): number | null => {
  const { lowestRange, counts, limits } = task
  const { low, high } = limitFigures(limits, task.function)
  if (lowestRange === null || counts === null || (low === null && high === null)) return null
  const nearest = low !== null && low > 0 ? low : high !== null && high < 0 ? high : 0
  const count = leastScale(nearest, lowestRange) / counts
  return isCoarse(count, low, high) ? count : null
}

const isCoarse = (count: number, low: number | null, high: number | null): boolean => {
  const width = low !== null && high !== null ? high - low : Math.abs(low ?? high ?? 0)
  return width !== 0 && count > COARSE_SHARE * width * (1 + 1e-9)
}

/**
 * One count is more than a tenth of the limits' width, or of a one-sided limit, and the value is not clear of the limits by
 * ten counts. A value far outside is a fail on any range, so a short on the megohm range is still kept.
 */
export const tooCoarse = (value: number, count: number | null, task: CaptureTask): boolean => {
  if (task.anyResolution || count === null) return false
  const { low, high } = limitFigures(task.limits, task.function)
  if (!isCoarse(count, low, high)) return false
  const clear = CLEAR_COUNTS * count
  return !((low !== null && value < low - clear) || (high !== null && value > high + clear))
}
