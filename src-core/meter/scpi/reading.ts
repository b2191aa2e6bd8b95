/** From the units of an answer to `READ?` to a reading in SI. */
import type { Seconds } from '../../quantity/units'
import type { MeterDescription } from '../description'
import type { Reject } from '../make-reading'
import { unitOf, type Reading } from '../reading'
import { readNumber, readScpiValue } from './numbers'

/** What is asked beside the value, where the meter knows the question: in this order. */
export type Beside = { range: boolean; resolution: boolean; temperature: boolean }

/** Instruments show up to a fifth more than a range's name says (common practice, no source); much more is a damaged number. */
const beyondRange = 1.25

/** UNIT:TEMPerature of SCPI-1999 (from memory); kelvins from each: K = (value + plus) × times. 0 °C is 273.15 K, 0 °F is 459.67 °R, exactly. */
const temperatureScales: Record<string, { plus: number; times: number }> = {
  K: { plus: 0, times: 1 }, C: { plus: 273.15, times: 1 }, CEL: { plus: 273.15, times: 1 }, F: { plus: 459.67, times: 5 / 9 }, FAR: { plus: 459.67, times: 5 / 9 },
}

const positive = (unit: string): number | null => {
  const read = readNumber(unit)
  return read === null || read.value <= 0 || read.value > 1e30 ? null : read.value
}

/**
 * @param units value, then what was asked beside it.
 * @param auto the range is the meter's own choice; null: not known.
 */
export const scpiReading = (
  description: MeterDescription, key: string, units: readonly string[], beside: Beside, auto: boolean | null, at: Seconds, raw: string,
): Reading | Reject => {
  const f = description.functions[key]
  if (f === undefined) return { reject: `the function “${key}” is not in the description` }
  const [valueText = '', ...rest] = units
  const shown = readScpiValue(valueText)
  if (typeof shown === 'object') return shown
  const rangeText = beside.range ? rest.shift() : undefined
  const resolutionText = beside.resolution ? rest.shift() : undefined
  const range = rangeText === undefined ? null : positive(rangeText)
  if (rangeText !== undefined && range === null) return { reject: `the range “${rangeText.slice(0, 24)}” is no full scale` }
  const asked = resolutionText === undefined ? null : positive(resolutionText)
  if (resolutionText !== undefined && asked === null) return { reject: `the resolution “${resolutionText.slice(0, 24)}” is none` }

  const flags: Reading['flags'] = auto === null ? [] : [auto ? 'auto-range' : 'manual-range']
  const made = (value: Reading['value'], resolution: number | null): Reading => ({ at, function: f.is, value, unit: unitOf[f.is], resolution, range, flags, raw })
  if (typeof shown !== 'number') return made(shown, null)
  if (range !== null && f.is !== 'temperature' && Math.abs(shown) > range * beyondRange) return { reject: `the value ${valueText} is far above its range of ${range}` }
  const scale = f.is === 'temperature' ? temperatureScales[(rest.shift() ?? '').toUpperCase()] : undefined
  if (f.is === 'temperature' && scale === undefined) return { reject: 'a temperature without its unit' }
  const count = asked ?? (range ?? leastRange(Math.abs(shown), f.lowestRange)) / f.counts
  return scale === undefined ? made(shown, count) : made((shown + scale.plus) * scale.times, count * scale.times)
}

/** Where the meter tells no range: the least that holds the value, ranges going up in decades (common practice, no source). */
const leastRange = (value: number, lowest: number): number => {
  let range = lowest
  while (range < value && range < 1e15) range *= 10
  return range
}
