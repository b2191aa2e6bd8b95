/** A scale on which a reading's noise is the same everywhere and parts act nearly linearly: ohms by their inverse hyperbolic sine, volts as they are. */
import type { MeterFunction } from '../../meter/reading'

/** Where the scale of ohms turns from even steps to even ratios: lead and contact resistance, relative accuracy. Common practice, no source. */
const evenOhms = 0.3
const relative = 0.009
const knee = evenOhms / relative
const farads = 1e-12 / 0.02

const kneeOf = (what: MeterFunction): number | null => (what === 'resistance' || what === 'continuity' ? knee : what === 'capacitance' ? farads : null)

/** Nothing a meter shows lies above this, in ohms: predictions of an open circuit end here. */
const mostOhms = 1e12

/** SI to the scale. */
export const onScale = (what: MeterFunction, value: number): number => {
  const at = kneeOf(what)
  return at === null ? value : Math.asinh(Math.min(value, mostOhms) / at)
}

/** The scale to SI. */
export const offScale = (what: MeterFunction, y: number): number => {
  const at = kneeOf(what)
  return at === null ? y : Math.sinh(y) * at
}

/** Slope of the scale: d scale / d value. */
export const slopeOfScale = (what: MeterFunction, value: number): number => {
  const at = kneeOf(what)
  return at === null ? 1 : 1 / Math.hypot(at, Math.min(value, mostOhms))
}
