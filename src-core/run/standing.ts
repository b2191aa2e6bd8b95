/** Which touch of a step its decision stands on; the others are earlier values. */
import type { Captured, StepState } from './state'

/** The last touch the decision was made from; while undecided, the last one. Null where nothing was captured. */
export const standingTouch = ({ captured, decided }: Pick<StepState, 'captured' | 'decided'>): Captured | null =>
  (decided === null ? undefined : captured.filter((touch) => decided.from.includes(touch.seq)).at(-1)) ?? captured.at(-1) ?? null
