/** One timer that is set anew as often as wanted: rings once at a time of the clock. */
import type { Seconds } from '../../../src-core/quantity/units'

export type Alarm = { set: (at: Seconds | null) => void; stop: () => void }

export const createAlarm = (clock: () => Seconds, ring: () => void): Alarm => {
  let timer: NodeJS.Timeout | undefined
  const stop = (): void => { clearTimeout(timer) }
  return {
    stop,
    set: (at) => {
      stop()
      if (at !== null) timer = setTimeout(ring, Math.max(0, Math.ceil((at - clock()) * 1000)))
    },
  }
}
