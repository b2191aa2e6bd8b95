/** Rule 5, silence: how long without a frame means that the meter says nothing, or that a contact may have been broken unseen. */
import type { Seconds } from '../quantity/units'
import { usualFrameSeconds } from './conversions'
import { GAP_SECONDS, SILENT_FRAMES, SILENT_SECONDS } from './figures'
import type { FrameClock } from './state'

/** Seconds without a frame that are silence. `conversion`, s, stands for the frame time until that is known. */
export const silentAfter = (clock: FrameClock, conversion: Seconds): Seconds =>
  Math.max(SILENT_SECONDS, SILENT_FRAMES * (usualFrameSeconds(clock) ?? conversion)) as Seconds

export const isSilent = (clock: FrameClock, at: Seconds, conversion: Seconds): boolean =>
  at - clock.at > silentAfter(clock, conversion)

/** A gap between two frames too long to know that the tips stayed where they were; shorter than silence. */
export const breaksContact = (clock: FrameClock, at: Seconds): boolean => {
  const usual = usualFrameSeconds(clock)
  return usual !== null && at - clock.at > Math.max(GAP_SECONDS, SILENT_FRAMES * usual)
}
