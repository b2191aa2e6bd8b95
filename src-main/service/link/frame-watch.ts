/** Watches what comes over a port: how long nothing valid came (capture.md, rule 5), and whether bytes come that make no sense. */
import type { MeterFunction, Reading } from '../../../src-core/meter/reading'
import type { Seconds } from '../../../src-core/quantity/units'

export type FrameWatch = {
  bytes: (at: Seconds) => void
  reading: (reading: Reading) => void
  /** From now on, as if a reading had just come. @param every s between two readings, where the app asks for them. */
  restart: (every?: number) => void
  /** So long after the last reading that the cable may have been moved to another meter meanwhile. */
  away: (at: Seconds) => boolean
  silent: () => boolean
  /** Bytes have been coming for 3 s, and no reading among them. */
  senseless: () => boolean
  /** Any byte since the last reading. */
  heard: () => boolean
}

const silentAfter = 2
const silentFrames = 3
/** A cable is hardly moved in less; a dial is turned in less (common practice, no source). */
const awayAfter = 5
/** A slow meter's first frame takes a while (common practice, no source). */
const senselessAfter = 3
/** Bytes that are older than this come no more. */
const stillComing = 2

export const createFrameWatch = (clock: () => Seconds): FrameWatch => {
  let lastFrame: Seconds = clock()
  let frameTime: Partial<Record<MeterFunction, number>> = {}
  let lastFunction: MeterFunction | null = null
  let asked = 0
  /** First and latest byte since the last reading. */
  let first: Seconds | null = null
  let latest: Seconds | null = null
  return {
    bytes: (at) => {
      if (latest !== null && at - latest > stillComing) first = at
      first ??= at
      latest = at
    },
    reading: (reading) => {
      const gap = reading.at - lastFrame
      if (lastFunction === reading.function && gap > 0 && gap < 10) {
        frameTime[reading.function] = (frameTime[reading.function] ?? gap) * 0.8 + gap * 0.2
      }
      lastFunction = reading.function
      lastFrame = reading.at
      first = null
      latest = null
    },
    away: (at) => at - lastFrame > Math.max(awayAfter, silentFrames * Math.max(asked, ...Object.values(frameTime))),
    restart: (every = 0) => {
      asked = every
      lastFrame = clock()
      frameTime = {}
      lastFunction = null
      first = null
      latest = null
    },
    silent: () => clock() - lastFrame > Math.max(silentAfter, silentFrames * (lastFunction === null ? 0 : frameTime[lastFunction] ?? 0)),
    senseless: () => first !== null && latest !== null && latest - first >= senselessAfter && clock() - latest <= stillComing,
    heard: () => first !== null,
  }
}
