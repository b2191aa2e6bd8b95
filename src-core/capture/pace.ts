/** Rule 1: how fast the meter converts in the function asked for, as far as that is known. */
import { conversionTime, usualFrameSeconds } from './conversions'
import type { CaptureState } from './state'
import type { Pace } from './window'

export const paceOf = ({ task, measuredConversion, clock }: Pick<CaptureState, 'task' | 'measuredConversion' | 'clock'>): Pace => {
  const frame = clock.function === task.function ? usualFrameSeconds(clock) : null
  return {
    seconds: conversionTime(task.conversionSeconds, measuredConversion, task.function, frame),
    known: task.conversionSeconds !== null || measuredConversion[task.function] !== undefined,
  }
}
