/** Counts the bursts of a line: most meters send a frame, and then pause. */
import type { Seconds } from '../../quantity/units'

export type Bursts = {
  heard: (at: Seconds) => void
  /** Bursts that began and ended while it was listened to. */
  whole: (at: Seconds) => number
  /** The longest time from the beginning of one to that of the next, 0 while it is unknown. */
  period: () => number
}

/** A system hands bytes over in steps of some 16 ms: a pause is longer than that, and than three characters. */
const pauseAt = (baud: number): number => 0.03 + 33 / baud

export const openBursts = (baud: number, began: Seconds): Bursts => {
  const pause = pauseAt(baud)
  let last: number = began
  let begunAt = 0
  let whole = 0
  let begunWhole = false
  let period = 0
  let any = false
  return {
    heard: (at) => {
      if (at - last > pause) {
        if (any && begunWhole) whole += 1
        if (any && begunAt > 0) period = Math.max(period, at - begunAt)
        begunWhole = true
        begunAt = at
      }
      any = true
      last = at
    },
    whole: (at) => whole + (any && begunWhole && at - last > pause ? 1 : 0),
    period: () => period,
  }
}
