/** Rule 11, one touch, one value: whether the leads must be seen to leave first, and when they have been. */
import type { MeasuredValue, MeterFunction } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import { FAST_CONVERSIONS } from './figures'
import { band } from './band'
import type { CaptureTask, Carry } from './task'

/** Air conversions that make a lift: one below 5 conversions a second, two above. */
export const liftConversions = (conversion: Seconds): number => 1 / conversion < FAST_CONVERSIONS - 1e-9 ? 1 : 2

/**
 * Contact counts only once it was seen to begin, so the leads must be seen apart first; not where the step keeps its
 * contact, nor from one air value to the next.
 */
export const asksLift = (task: CaptureTask, held: Carry['held']): boolean =>
  !task.keepsContact && !(held !== null && held.wasAir && task.expectsAir)

/** A steady value that is not the one captured already: held back, and said so. */
export const differsFromHeld = (held: Carry['held'], fn: MeterFunction, value: MeasuredValue, count: number | null): boolean => {
  if (held === null) return false
  if (held.function !== fn) return true
  if (typeof value !== 'number' || typeof held.value !== 'number') return value !== held.value
  return Math.abs(value - held.value) > Math.max(band(value, count), band(held.value, count))
}
