/** Rule 2, the air pattern: what this meter shows with the leads apart, or in a state that proves no contact. */
import type { AirPattern } from '../meter/instrument'
import type { MeasuredValue, MeterFunction, Reading } from '../meter/reading'
import { AIR_COUNTS, AIR_HYSTERESIS_COUNTS } from './figures'

/**
 * `apart`: the leads may be off, so it ends a contact and is a lift. `unproven`: out of range or joined, so it takes a press
 * like air, but it does not show that the leads are off. `finite`: a value that only a contact gives.
 */
export type Shows = 'apart' | 'unproven' | 'finite'

const readsVolts = (fn: MeterFunction): boolean => fn === 'dc-voltage' || fn === 'ac-voltage'

/** Functions in which leads apart are an infinite resistance to the meter; elsewhere overload means too much for the range. */
export const opensToOverload = (fn: MeterFunction): boolean => {
  switch (fn) {
    case 'resistance': case 'continuity': case 'diode': case 'capacitance': case 'inductance': return true
    case 'dc-voltage': case 'ac-voltage': case 'frequency': case 'temperature': case 'dc-current': case 'ac-current': return false
  }
}

const sameRange = (a: number, b: number): boolean => Math.abs(a - b) <= 0.01 * Math.abs(b)

/** Patterns of this function that hold on this range; a pattern made on a range holds where the range is not told. */
const patternsFor = (patterns: readonly AirPattern[], fn: MeterFunction, range: number | null): AirPattern[] =>
  patterns.filter((p) => p.function === fn && (p.range === null || range === null || sameRange(p.range, range)))

const inside = (value: MeasuredValue, place: AirPattern['apart'], margin: number): boolean =>
  typeof value === 'number' ? place !== 'overload' && value >= place.from - margin && value <= place.to + margin : place === 'overload'

/**
 * What one reading shows. `inAir`: the reading before was air, so a few counts beyond the pattern do not end it.
 * With no pattern known: overload is air where open leads give it, and volts within 3 counts of zero.
 */
export const shows = (reading: Reading, patterns: readonly AirPattern[], inAir: boolean): Shows => {
  const { value, function: fn } = reading
  const margin = (reading.resolution ?? 0) * (AIR_COUNTS + (inAir ? AIR_HYSTERESIS_COUNTS : 0))
  const known = patternsFor(patterns, fn, reading.range)
  if (known.some((p) => inside(value, p.apart, margin))) return 'apart'
  if (typeof value !== 'number') return known.length === 0 && opensToOverload(fn) ? 'apart' : 'unproven'
  if (readsVolts(fn)) {
    const joined = known.some((p) => p.joined !== null && inside(value, p.joined, margin))
    const nearZero = Math.abs(value) <= margin * (1 + 1e-9)
    if (joined || nearZero) return known.length === 0 ? 'apart' : 'unproven'
  }
  return 'finite'
}
