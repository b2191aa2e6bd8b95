/** The meter of the simulated bench: how fine it shows, how far it may be off, and the reading it gives for a true value. */
import { normalNoise, type Random } from '../../../../src-core/circuit/seeded-random'
import type { MeterFunction } from '../../../../src-core/meter/reading'

export type BenchMeter = { name: string; percent: number; counts: number; display: number }
/** Wide enough for most hand-held meters: the app's own assumption where no accuracy was entered (common practice, no source). */
export const genericMeter: BenchMeter = { name: '1.5 % + 5 counts', percent: 1.5, counts: 5, display: 6000 }
export const betterMeter: BenchMeter = { name: '0.3 % + 2 counts', percent: 0.3, counts: 2, display: 6000 }

const lowestFullScale: Partial<Record<MeterFunction, number>> = { resistance: 600, continuity: 600, diode: 6 }
/** Of one conversion, in counts. */
const noiseCounts = 0.3

/** One count, SI, of the lowest range that holds the value; ranges are a factor of ten apart. */
export const countAt = (meter: BenchMeter, what: MeterFunction, value: number): number => {
  let fullScale = lowestFullScale[what] ?? 6
  while (Math.abs(value) > fullScale && fullScale < 1e8) fullScale *= 10
  return fullScale / meter.display
}

/** Standard uncertainty, SI: √((a·|x| + n·count)²/3 + count²/12 + s²), design.md §6. */
export const uOf = (meter: BenchMeter, what: MeterFunction, value: number): number => {
  const count = countAt(meter, what, value)
  return Math.sqrt(((meter.percent / 100) * Math.abs(value) + meter.counts * count) ** 2 / 3 + count ** 2 / 12 + (noiseCounts * count) ** 2)
}

/** A meter's own gain error: the same for all readings of one function and range, anywhere within the stated percentage. */
export type Gains = (what: MeterFunction, count: number) => number
export const drawGains = (meter: BenchMeter, random: Random): Gains => {
  const drawn = new Map<string, number>()
  return (what, count) => {
    const key = `${what} ${count.toPrecision(3)}`
    const gain = drawn.get(key) ?? 1 + (meter.percent / 100) * (2 * random() - 1)
    drawn.set(key, gain)
    return gain
  }
}

/** What the display shows of a true figure: gain, an offset within the stated counts, noise, and rounding to a count. Not below zero. */
export const shownOf = (meter: BenchMeter, gains: Gains, what: MeterFunction, value: number, random: Random): number => {
  const count = countAt(meter, what, value)
  const off = value * gains(what, count) + count * (meter.counts * (2 * random() - 1) + noiseCounts * normalNoise(random))
  return Math.max(0, Math.round(off / count) * count)
}
