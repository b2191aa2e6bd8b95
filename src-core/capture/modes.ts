/** Rule 3, modes that lie: flags under which nothing is captured, and a frame that has stood too long to be true. */
import type { MeterFlag, Reading } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import { FROZEN_SECONDS } from './figures'
import type { CaptureState } from './state'
import type { Carry } from './task'

const lies: Record<MeterFlag, boolean> = {
  hold: true, relative: true, minimum: true, maximum: true, average: true, peak: true, 'low-battery': true,
  'auto-range': false, 'manual-range': false,
}

/** The first flag of a reading under which its value is not the value now. */
export const lyingFlag = (flags: readonly MeterFlag[]): MeterFlag | null => flags.find((flag) => lies[flag]) ?? null

/** Follows the raw frame; null while the reading is not finite, as an overload may well stand for hours. */
export const followFrame = (frame: Carry['frame'], reading: Reading): Carry['frame'] => {
  if (typeof reading.value !== 'number') return null
  return frame !== null && frame.raw === reading.raw ? frame : { raw: reading.raw, since: reading.at, steps: 0 }
}

/** The frame has not changed since the step before: nothing shows yet that the meter is alive. */
export const standsSinceBefore = (state: CaptureState): boolean => state.frame !== null && state.frame.steps > 0

/** Finite, unchanged over two steps, and long enough into this one, or the leads were said to have moved. */
export const isFrozen = (state: CaptureState, at: Seconds): boolean =>
  standsSinceBefore(state) && (state.moved || at - state.startedAt >= FROZEN_SECONDS)

/** The frame as the next step takes it over. */
export const frameForNext = (frame: Carry['frame']): Carry['frame'] => frame === null ? null : { ...frame, steps: frame.steps + 1 }
