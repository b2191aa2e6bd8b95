/** Rules 1 and 8: the tips on something. Which conversions belong to one standing value, and what stops it from being taken. */
import type { Reading } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import { CLOSEST_CONVERSIONS, DROPPED_CONVERSIONS, GRIP_HISTORY, ROUNDING_COUNTS, WINDOW_MOST } from './figures'
import { extendPath, offersMoving, passedForGood } from './moving'
import { isHunting, rangeCameBack, rangeKey, stillRanging, tooCoarse } from './ranging'
import type { Contact, Conversion } from './state'
import { band } from './band'
import { judgeSteady, type Steady } from './steady'
import { chargingSeconds, type Pace } from './window'
import { leadToTakeOff } from './captured-value'
import type { CaptureTask } from './task'

/** Contact seen for the first time: this conversion is the one dropped, part of it was something else. */
export const beginContact = (c: Conversion, flags: Reading['flags'], earliest: Seconds): Contact => ({
  since: c.at, earliest, last: c, drop: DROPPED_CONVERSIONS - 1, begun: c, whole: [], window: [], path: [],
  ranges: [{ key: rangeKey(c), at: c.at }], manualRange: flags.includes('manual-range'),
})

const jumps = (from: Conversion, to: Conversion): boolean =>
  Math.abs(to.value - from.value) > band(to.value, to.count) + ROUNDING_COUNTS * (to.count ?? 0)

/** Adds a conversion. Another range starts the window again; so does a jump by more than B, and drops the conversion it came with. */
export const extendContact = (contact: Contact, c: Conversion, flags: Reading['flags']): Contact => {
  const manualRange = flags.includes('manual-range')
  if (c.at - contact.last.at < CLOSEST_CONVERSIONS) return { ...contact, manualRange }
  const key = rangeKey(c)
  const path = extendPath(contact.path, c)
  const repeatsFirst = contact.whole.length === 0 && c.value === contact.begun.value
  const whole = repeatsFirst ? contact.whole : [...contact.whole.filter((w) => c.at - w.at <= GRIP_HISTORY), c]
  if (contact.ranges.at(-1)?.key !== key) {
    const ranges = [...contact.ranges, { key, at: c.at }].slice(-16)
    return { ...contact, manualRange, last: c, ranges, path, whole, window: [c], drop: 0, begun: contact.last }
  }
  const seen = { ...contact, manualRange, last: c, path, whole }
  if (contact.drop > 0) return { ...seen, drop: contact.drop - 1 }
  const before = contact.window.at(-1)
  if (before !== undefined && jumps(before, c)) return { ...seen, window: [], drop: DROPPED_CONVERSIONS - 1, begun: c }
  return { ...seen, window: [...contact.window.filter((w) => c.at - w.at <= WINDOW_MOST + 1), c] }
}

export type Judged =
  | { kind: 'steady'; steady: Steady }
  | { kind: 'wait'; until: Seconds }
  | { kind: 'charging'; until: Seconds }
  | { kind: 'hunting' } | { kind: 'ranging' } | { kind: 'too-coarse' }
  | { kind: 'moving'; value: number; resolved: boolean }
  | { kind: 'unsteady'; have: number; need: number; trend: boolean }

/** What stands between this contact and its value. Judged at the latest conversion. */
export const judgeContact = (contact: Contact, task: CaptureTask, pace: Pace): Judged => {
  const { at } = contact.last
  if (task.notBefore !== null && at < task.notBefore) return { kind: 'wait', until: task.notBefore }
  const charged = (contact.earliest + chargingSeconds(task)) as Seconds
  if (at < charged) return { kind: 'charging', until: charged }
  if (isHunting(contact, at)) return { kind: 'hunting' }
  if (rangeCameBack(contact, at) || stillRanging(contact, task, at)) return { kind: 'ranging' }
  const steady = judgeSteady(contact, task, pace)
  if ('mean' in steady) return tooCoarse(steady.mean, contact.last.count, task) ? { kind: 'too-coarse' } : { kind: 'steady', steady }
  if (!offersMoving(contact, task, at)) return { kind: 'unsteady', ...steady }
  const value = contact.last.value - leadToTakeOff(task, contact.last.value, contact.last.count)
  return { kind: 'moving', value, resolved: passedForGood(contact, task, value) }
}
