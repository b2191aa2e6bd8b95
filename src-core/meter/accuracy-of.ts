/** How good a meter is on one range: as its data sheet states it for that range, else for the function, else not stated. */
import type { Accuracy, Meter } from './instrument'
import type { MeterFunction } from './reading'

export type StatedAccuracy = Pick<Meter, 'accuracy' | 'register'>

/** A display of 6000 counts ends its 600 Ω range at 599.9 or at 600.0. */
const roundingOfFullScale = 1.001

/**
 * Of the ranges that are stated, the smallest that reaches as far as the meter's present one.
 * @param range full scale the meter is on, SI; null where it is not told: then only what holds for the function is known.
 * @returns null: nobody entered it, and the generic accuracy stands in.
 */
export const accuracyOf = ({ accuracy, register }: Pick<Meter, 'accuracy'> & { register: Pick<Meter['register'], 'ranges'> }, fn: MeterFunction, range: number | null): Accuracy | null => {
  const reaching = range === null ? [] : register.ranges.filter((each) => each.function === fn && each.range * roundingOfFullScale >= range)
  const [first] = reaching.sort((a, b) => a.range - b.range)
  return first === undefined ? accuracy[fn] ?? null : { percent: first.percent, counts: first.counts }
}
