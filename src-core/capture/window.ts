/** Rule 8: the window W, and what is waited for besides. */
import type { MeterFunction } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import { LONG_WAIT, RC_MATTERS, RC_WAITS, WINDOW_GRIP, WINDOW_MOST, WINDOW_SECONDS, WINDOW_SHARE, WINDOW_UNMEASURED } from './figures'
import { closesLikeAGrip } from './finger'
import type { Contact } from './state'
import type { CaptureTask } from './task'

/** Conversion time to go by, s, and whether it was described or measured. */
export type Pace = { seconds: Seconds; known: boolean }

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
