/** Rule 8, moving: a value that will not stand still, and whether it has passed a one-sided limit for good. */
import type { Seconds } from '../quantity/units'
import { MOVING_SECONDS, PATH_SECONDS } from './figures'
import { limitFigures } from './ranging'
import type { Contact, Conversion } from './state'
import { band } from './band'
import { chargingSeconds } from './window'
import type { CaptureTask } from './task'

/** Adds a conversion to the way the value came: one point a second, as far back as it must be monotone. */
export const extendPath = (path: Contact['path'], c: Conversion): Contact['path'] => {
  const last = path.at(-1)
  if (last !== undefined && c.at - last.at < PATH_SECONDS) return path
  return [...path, { at: c.at, value: c.value }].filter((p) => c.at - p.at <= MOVING_SECONDS + PATH_SECONDS)
}

/** Contact has been unbroken long enough to stop hoping for a steady value. */
export const offersMoving = (contact: Contact, task: CaptureTask, at: Seconds): boolean =>
  at - contact.since >= Math.max(MOVING_SECONDS, chargingSeconds(task))

/** +1 rising, −1 falling, 0 neither: no step against the way further than a third of B, and more than B in all. */
export const direction = (contact: Contact): 1 | -1 | 0 => {
  const points = [...contact.path, contact.last]
  const b = band(contact.last.value, contact.last.count)
  const first = points[0]
  if (first === undefined || points.length < 3) return 0
  const way = contact.last.value - first.value
  if (Math.abs(way) <= b) return 0
  const sign = way > 0 ? 1 : -1
  const back = points.some((p, i) => i > 0 && sign * (p.value - (points[i - 1] ?? p).value) < -b / 3)
  return back ? 0 : sign
}

/** The value, lead resistance taken off, moves away from a one-sided limit and is past it by more than B. */
export const passedForGood = (contact: Contact, task: CaptureTask, value: number): boolean => {
  const { low, high } = limitFigures(task.limits, task.function)
  if ((low === null) === (high === null)) return false
  const limit = low ?? high ?? 0
  return direction(contact) * (value - limit) > band(value, contact.last.count)
}
