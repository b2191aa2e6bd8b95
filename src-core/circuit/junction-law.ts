/** Shockley's law with its temperature: what a junction's parameters come to at a given temperature. */
import type { Exponential } from './elements'

const boltzmann = 1.380649e-23
const elementaryCharge = 1.602176634e-19
const zeroCelsius = 273.15
/** Parameters are stated at this temperature, °C. */
export const statedCelsius = 25

/** k·T/q in volts; the constants are exact by definition (SI Brochure, 9th edition, 2019). */
export const thermalVolts = (celsius: number): number => (boltzmann * (celsius + zeroCelsius)) / elementaryCharge

/** Energy gap in eV and the power of temperature in I_s: 1.11 and 3 for silicon, 0.69 and 2 for a Schottky junction (SPICE diode model, from memory). */
export type Barrier = { gapVolts: number; power: number }
export const siliconBarrier: Barrier = { gapVolts: 1.11, power: 3 }
export const schottkyBarrier: Barrier = { gapVolts: 0.69, power: 2 }

/**
 * I_s at `celsius` from I_s at 25 °C: I_s · (T/T₀)^(p/n) · exp((T/T₀ − 1) · E_g / (n · V_T)). The diode model of SPICE (ngspice manual, temperature
 * dependence of the junction diode; from memory). At a constant current the voltage then falls by about 2 mV/K.
 */
export const saturationAt = (amperes: number, ideality: number, { gapVolts, power }: Barrier, celsius: number): number => {
  const ratio = (celsius + zeroCelsius) / (statedCelsius + zeroCelsius)
  return amperes * Math.pow(ratio, power / ideality) * Math.exp(((ratio - 1) * gapVolts) / (ideality * thermalVolts(celsius)))
}

/** Forward conduction I = I_s · (exp(v / n·V_T) − 1) as an exponential branch. */
export const shockley = (amperes: number, ideality: number, barrier: Barrier, celsius: number): Exponential =>
  ({ amperes: saturationAt(amperes, ideality, barrier, celsius), atVolts: 0, slopeVolts: ideality * thermalVolts(celsius) })

/** I_s that gives `volts` at `amperes` and 25 °C. */
export const saturationFor = (volts: number, amperes: number, ideality: number): number =>
  amperes / Math.expm1(volts / (ideality * thermalVolts(statedCelsius)))
