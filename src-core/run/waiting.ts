/** A step that must not be done before its time: how long that still is. */
import type { Bench } from './bench'
import type { PlanStep } from './plan'

/** Seconds, by the clock of this computer; 0: it may be done. */
export const secondsToReady = ({ utcMs }: Pick<Bench, 'utcMs'>, step: PlanStep): number =>
  (step.kind === 'measure' || step.readyUtc === undefined ? 0 : Math.max(0, Math.ceil((Date.parse(step.readyUtc) - utcMs) / 1000)))

/** "4:05 min". */
export const minutesInWords = (seconds: number): string => `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')} min`
