/** The readings of a file as a diagnosis takes them. */
import { mostFarads } from '../capacitance'
import type { MeterDrives } from '../meter-drive'
import type { FileReading } from '../readings-file'
import type { Placement } from '../diagnosis'
import { usualUncertainty } from './allowed-placements'
import { onScale, slopeOfScale } from './display-scale'
import type { Seen } from './evidence'
import { drivenFunction } from './model'

/** How often an overload was shown for want of contact: assumed (formats.md). */
export type AirWrong = { confirmed: number; proven: number }
export const usualAirWrong: AirWrong = { confirmed: 0.01, proven: 0.001 }

/** No reading is better than this: leads, F; contact and lead resistance, warmth of a junction. Common practice, no source. */
const leastFarads = 5e-12
/** How often a meter shows overload for another cause than ohms beside the capacitor: charge left in it, say. Assumed. */
const endlessWrong = 0.02
const leastSigma = { ohms: 0.02, volts: 0.001 }

const capacitanceSeen = ({ value, U, k, ceiling }: FileReading): Seen => {
  const what = 'capacitance'
  if (typeof value !== 'number') return { kind: 'above', y: onScale(what, ceiling ?? mostFarads), sigma: 0.01, wrong: endlessWrong }
  const u = U === undefined || k === undefined ? usualUncertainty(what, value) : U / k
  return { kind: 'figure', y: onScale(what, value), sigma: Math.hypot(u, leastFarads) * slopeOfScale(what, value) }
}

/** Null for a function whose readings are not computed. */
export const seenOf = (reading: FileReading, drives: MeterDrives, air: AirWrong): Seen | null => {
  if (reading.function === 'capacitance') return capacitanceSeen(reading)
  const driven = drivenFunction(reading.function)
  if (driven === null) return null
  const what = reading.function
  const sign = driven === 'diode' && drives.diode.plus === 'black' ? -1 : 1
  const { value, U, k, evidence, ceiling } = reading
  if (typeof value !== 'number') {
    const at = ceiling ?? drives[driven].ceiling
    return { kind: 'above', y: onScale(what, at), sigma: usualUncertainty(what, at) * slopeOfScale(what, at), wrong: evidence === 'proven' ? air.proven : air.confirmed }
  }
  const u = U === undefined || k === undefined ? usualUncertainty(what, value) : U / k
  const least = driven === 'diode' ? leastSigma.volts : leastSigma.ohms
  return { kind: 'figure', y: onScale(what, sign * value), sigma: Math.hypot(u, least) * slopeOfScale(what, value) }
}

export const keyOfPlacement = ({ red, black, function: what }: Placement): string =>
  (what === 'diode' ? `${red}>${black} diode` : `${[red, black].sort().join('-')} ${what}`)
