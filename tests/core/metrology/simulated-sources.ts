/** Three simulated meters of different design, and what they display on resistors and a diode. Knows nothing of the fit. */
import { normalNoise, seededRandom } from '../../../src-core/circuit/seeded-random'
import type { FitPlacement, FitReading } from '../../../src-core/metrology/fit-source'

/** Behind `ohms`, never more than `amperes`. */
export type SimulatedSource = { volts: number; ohms: number; amperes: number }
export type SimulatedRange = { full: number; count: number; source: SimulatedSource }
export type Design = {
  name: string
  diode: { source: SimulatedSource; count: number; shownUpTo: number; plus: 'red' | 'black' }
  /** Lowest range first. */
  resistance: { ranges: SimulatedRange[]; plus: 'red' | 'black' }
  /** Its own errors, relative. */
  voltsGain: number; ohmsGain: number
}

const unlimited = 1

export const designs: Design[] = [
  {
    name: 'ratio of voltages, plus on red',
    diode: { source: { volts: 3, ohms: 2500, amperes: unlimited }, count: 0.001, shownUpTo: 2, plus: 'red' },
    resistance: { plus: 'red', ranges: [
      { full: 600, count: 0.1, source: { volts: 3, ohms: 2500, amperes: unlimited } }, { full: 6000, count: 1, source: { volts: 3, ohms: 2500, amperes: unlimited } },
      { full: 60_000, count: 10, source: { volts: 1.1, ohms: 27_000, amperes: unlimited } }, { full: 6e7, count: 1e4, source: { volts: 1.1, ohms: 1e7, amperes: unlimited } },
    ] },
    voltsGain: 0.003, ohmsGain: -0.002,
  },
  {
    name: 'constant current, plus on black in resistance',
    diode: { source: { volts: 2, ohms: 120, amperes: 0.001 }, count: 0.001, shownUpTo: 2.2, plus: 'red' },
    resistance: { plus: 'black', ranges: [
      { full: 400, count: 0.1, source: { volts: 2, ohms: 120, amperes: 0.001 } }, { full: 6000, count: 1, source: { volts: 2, ohms: 120, amperes: 0.0002 } },
      { full: 60_000, count: 10, source: { volts: 2, ohms: 120, amperes: 0.00002 } }, { full: 6e7, count: 1e4, source: { volts: 2, ohms: 120, amperes: 2e-7 } },
    ] },
    voltsGain: -0.004, ohmsGain: 0.003,
  },
  {
    name: 'low voltage, plus on red',
    diode: { source: { volts: 1.6, ohms: 1100, amperes: unlimited }, count: 0.0001, shownUpTo: 1.9, plus: 'red' },
    resistance: { plus: 'red', ranges: [
      { full: 600, count: 0.01, source: { volts: 0.6, ohms: 1000, amperes: unlimited } }, { full: 6000, count: 0.1, source: { volts: 0.6, ohms: 10_000, amperes: unlimited } },
      { full: 60_000, count: 1, source: { volts: 0.6, ohms: 10_000, amperes: unlimited } }, { full: 6e7, count: 1000, source: { volts: 0.6, ohms: 1e6, amperes: unlimited } },
    ] },
    voltsGain: 0.002, ohmsGain: 0.002,
  },
]

/** Between the tips: a current for a voltage, from the lead that is plus to the other. */
export type Load = (volts: number) => number

/** Shockley's law with a series resistance; for n = 1.9 and I_s = 5 nA 1 mA makes about 0.60 V. */
const junction = (volts: number): number => {
  const [n, vt, is] = [1.9, 0.02585, 5e-9]
  return is * (Math.exp(Math.min(volts, 2) / (n * vt)) - 1)
}
/** Voltage across a diode and a resistor in series at a current. */
const seriesCurrent = (volts: number, ohms: number): number => {
  let [low, high] = [0, Math.max(0, volts)]
  for (let k = 0; k < 60; k += 1) {
    const middle = (low + high) / 2
    if (junction(middle) > (volts - middle) / ohms) high = middle
    else low = middle
  }
  return (volts - low) / ohms
}
/** The resistors as they are, not as their bands say. */
export const realOhms = { first: 473.1, second: 1489 }

const reverseLeak: Load = (volts) => volts / 2e9

/** What lies between the tips; the diode across or in series with a resistor conducts, as the person at the bench was told. */
const loads: Record<FitPlacement, (redIsPlus: boolean) => Load> = {
  'apart': () => () => 0, 'first': () => (v) => v / realOhms.first, 'second': () => (v) => v / realOhms.second,
  'diode': (redIsPlus) => (redIsPlus ? junction : reverseLeak), 'diode-reversed': (redIsPlus) => (redIsPlus ? reverseLeak : junction),
  'diode-across-first': () => (v) => v / realOhms.first + junction(v),
  'diode-and-second': () => (v) => seriesCurrent(v, realOhms.second),
}

/** Where source and load agree. */
const tips = ({ volts, ohms, amperes }: SimulatedSource, load: Load): { volts: number; amperes: number } => {
  let [low, high] = [0, volts]
  for (let k = 0; k < 80; k += 1) {
    const middle = (low + high) / 2
    if (load(middle) > Math.min(amperes, (volts - middle) / ohms)) high = middle
    else low = middle
  }
  return { volts: low, amperes: load(low) }
}

const placements: readonly FitPlacement[] = ['apart', 'first', 'second', 'diode', 'diode-reversed', 'diode-across-first']
const inResistance: readonly FitPlacement[] = ['first', 'second', 'diode', 'diode-reversed', 'diode-and-second']

/** Every reading of one sitting, as the display shows it: gain error, noise of 0.3 counts averaged over 8 conversions, last digit. */
export const displayed = (design: Design, seed: number): FitReading[] => {
  const random = seededRandom(seed)
  const shown = (value: number, count: number): number => Array.from({ length: 8 }, () => Math.round(value / count + 0.3 * normalNoise(random)) * count).reduce((sum, each) => sum + each, 0) / 8
  const { diode, resistance } = design
  const diodeReading = (placement: FitPlacement): FitReading => {
    const { volts } = tips(diode.source, loads[placement](diode.plus === 'red'))
    const value = volts > diode.shownUpTo ? 'overload' : shown(volts * (1 + design.voltsGain), diode.count)
    return { function: 'diode', placement, value, resolution: diode.count, range: diode.shownUpTo }
  }
  const resistanceReading = (placement: FitPlacement): FitReading => {
    for (const { full, count, source } of resistance.ranges) {
      const at = tips(source, loads[placement](resistance.plus === 'red'))
      const value = (at.volts / at.amperes) * (1 + design.ohmsGain)
      if (value <= full) return { function: 'resistance', placement, value: shown(value, count), resolution: count, range: full }
    }
    return { function: 'resistance', placement, value: 'overload', resolution: null, range: null }
  }
  return [...placements.map(diodeReading), ...inResistance.map(resistanceReading)]
}
