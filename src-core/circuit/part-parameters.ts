/** Generic figures of each kind of part, where a board file states none. Common practice, no source, save where one is named. */
import type { Part, PartKind } from '../board/part'
import { type Barrier, schottkyBarrier, siliconBarrier } from './junction-law'

/** At 25 °C. Saturation currents of sound parts lie within a factor of `spread`, either way, evenly in their logarithm. */
export type JunctionFigures = {
  saturationAmperes: number; ideality: number; seriesOhms: number; leakageOhms: number; spread: number; barrier: Barrier
}

const silicon = { leakageOhms: 1e10, barrier: siliconBarrier }

export const signalDiode: JunctionFigures = { ...silicon, saturationAmperes: 2.52e-9, ideality: 1.752, seriesOhms: 0.6, spread: 1.6 }
export const rectifierDiode: JunctionFigures = { ...silicon, saturationAmperes: 1e-9, ideality: 1.6, seriesOhms: 0.05, spread: 1.5 }
/** Forward side of a Zener or a one-way suppressor. */
export const clampForward: JunctionFigures = { ...silicon, saturationAmperes: 5e-12, ideality: 1.15, seriesOhms: 0.5, spread: 2 }
export const schottkyDiode: JunctionFigures =
  { saturationAmperes: 1e-7, ideality: 1.05, seriesOhms: 0.5, leakageOhms: 1e9, spread: 2, barrier: schottkyBarrier }
export const baseEmitter: JunctionFigures = { ...silicon, saturationAmperes: 1e-14, ideality: 1, seriesOhms: 1, spread: 2 }
/** The larger collector junction reads some millivolts less than the emitter's: how the two are told apart with a meter. */
export const baseCollector: JunctionFigures = { ...baseEmitter, saturationAmperes: 2e-14 }
export const bodyDiode: JunctionFigures = { ...silicon, saturationAmperes: 2e-12, ideality: 1.05, seriesOhms: 0.05, spread: 2 }
/** Between a pin of an IC and its supplies. */
export const clampDiode: JunctionFigures = { ...silicon, saturationAmperes: 5e-14, ideality: 1.05, seriesOhms: 20, spread: 3 }
/** `saturationAmperes` follows from the volts at 1 mA. */
export const visibleLed = { ideality: 2, seriesOhms: 2, leakageOhms: 1e10, spread: 3, volts: 1.8, barrier: { gapVolts: 1.9, power: 3 } }
export const infraredLed = { ideality: 1.8, seriesOhms: 2, leakageOhms: 1e10, spread: 2, volts: 1.05, barrier: { gapVolts: 1.42, power: 3 } }

/** The test current at which breakdown volts are stated, and the volts in which the current grows e-fold there. */
export type BreakdownFigures = { amperes: number; slopeVolts: (volts: number) => number; seriesOhms: number; leakageOhms: number }
/** Below about 5.6 V a Zener's breakdown is by tunnelling, and soft. */
export const zenerBreakdown: BreakdownFigures =
  { amperes: 0.005, slopeVolts: (volts) => (volts < 5.6 ? 0.3 : 0.05), seriesOhms: 1, leakageOhms: 1e10 }
export const suppressorBreakdown: BreakdownFigures = { amperes: 0.001, slopeVolts: () => 0.05, seriesOhms: 0.5, leakageOhms: 1e9 }
/** I = 1 mA · (V/V1mA)^α with α about 30 has this slope at 1 mA. */
export const varistorBreakdown: BreakdownFigures = { amperes: 0.001, slopeVolts: (volts) => volts / 30, seriesOhms: 1, leakageOhms: 1e9 }
/** Up to its breakover only: beyond it the voltage falls, far out of a meter's reach. */
export const thyristorBreakdown: BreakdownFigures = { amperes: 0.001, slopeVolts: () => 0.5, seriesOhms: 1, leakageOhms: 1e9 }
export const usualBreakoverVolts = 58
export const emitterBaseVolts = 7

/** A gas tube insulates with 1 GΩ and more (ITU-T K.12, from memory). */
export const gasTubeOhms = 1e10
/** From collector to emitter of an optocoupler in the dark. */
export const darkOhms = 1e10

export const ntcBeta = 3950
/** Silicon sensor with a positive coefficient, about 25 °C (from memory). */
export const ptcPerKelvin = 7.9e-3
export const ptcPerKelvinSquared = 1.9e-5

export const fuseOhms = 0.1
export const linkOhms = 0.02
export const contactOhms = 0.05
/** A wire or a solder blob across a part, or a link put in. */
export const jumperOhms = 0.05

const windings: Partial<Record<PartKind, number>> = { coil: 1, choke: 1, transformer: 10, 'ferrite-bead': 0.1 }
export const usualWindingOhms = (kind: PartKind): number => windings[kind] ?? 1

const tolerances: Partial<Record<PartKind, number>> = {
  resistor: 0.05, ntc: 0.05, ptc: 0.05, 'ferrite-bead': 0.3, coil: 0.15, choke: 0.15, transformer: 0.15, capacitor: 0.2,
  zener: 0.05, tvs: 0.05, 'two-way-protector': 0.1, varistor: 0.1, 'thyristor-protector': 0.2,
  ic: 0.3, fuse: 0.3, link: 0.5, 'closed-contact': 0.5,
}
/** Relative, either way, evenly. */
export const toleranceOf = (part: Part): number => part.tolerance ?? tolerances[part.kind] ?? 0
