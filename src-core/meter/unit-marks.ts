/** What meters write for a unit, and which unit that is. */
import type { MeterDescription } from './description'
import type { UnitSymbol } from './reading'

/** `kelvinOffset` is added to a value in this mark to give the SI value. */
export type UnitMark = { unit: UnitSymbol; kelvinOffset: number }

/** 0 °C is 273.15 K exactly (SI Brochure, 9th edition, 2.3.1; from memory). */
const celsiusOffset = 273.15
const celsius = ['\u00b0C', '\u2103', 'degC', 'C']

const builtIn: Record<UnitSymbol, string[]> = {
  V: ['V'], Ω: ['Ω', '\u2126', 'Ohm', 'ohm', 'OHM', 'Ohms', 'ohms'], F: ['F'], H: ['H'], Hz: ['Hz', 'HZ', 'hz'], K: ['K'], A: ['A'],
}

/** The marks of a description: the usual ones, and its own. A mark for degrees Celsius stays one whatever it is mapped to. */
export const unitMarks = (own: MeterDescription['units']): Map<string, UnitMark> => {
  const marks = new Map<string, UnitMark>()
  for (const [unit, texts] of Object.entries(builtIn)) {
    for (const text of texts) marks.set(text, { unit: unit as UnitSymbol, kelvinOffset: 0 })
  }
  for (const [text, unit] of Object.entries(own ?? {})) marks.set(text, { unit, kelvinOffset: 0 })
  for (const text of celsius) {
    const mark = marks.get(text)
    if (mark === undefined || mark.unit === 'K') marks.set(text, { unit: 'K', kelvinOffset: celsiusOffset })
  }
  return marks
}
