/** Counts how often a warning has begun, so that one that ends and comes again is said again, and one that flickers is not. */
import type { Seconds } from '../quantity/units'

/** By its sentence: how often it began, and when it was last seen to hold, s. */
export type Warned = Readonly<Record<string, { times: number; last: Seconds }>>

/** Gone for this long it is over; longer than a meter with slow frames takes to be silent anew. */
export const warningOverSeconds = 5

/** Which time this is that it holds, from 1. The same whether or not `noteWarning` has counted it yet. */
export const timesWarned = (warned: Warned, sentence: string, at: Seconds): number => {
  const before = Object.hasOwn(warned, sentence) ? warned[sentence] : undefined
  return before === undefined ? 1 : at - before.last > warningOverSeconds ? before.times + 1 : before.times
}

/** It holds now. */
export const noteWarning = (warned: Warned, sentence: string, at: Seconds): Warned =>
  ({ ...warned, [sentence]: { times: timesWarned(warned, sentence, at), last: at } })
