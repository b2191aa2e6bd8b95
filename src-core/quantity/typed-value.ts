/** A value as a person types it off a display: the figure with its prefix, or the overload; never a guess. */
import { readFigure, scaled } from '../meter/figure'
import type { MeasuredValue, UnitSymbol } from '../meter/reading'

export type TypedValue = { value: MeasuredValue; /** One count: what the last typed digit stands for, SI; null with an overload. */ resolution: number | null }

const powers: Record<string, number> = { '': 0, p: -12, n: -9, u: -6, µ: -6, μ: -6, m: -3, k: 3, K: 3, M: 6, G: 9 }
const unitMarks: Record<UnitSymbol, RegExp> = {
  Ω: /(?:Ω|Ω|ohms?)$/i, V: /v$/i, F: /f$/i, H: /h$/i, Hz: /hz$/i, K: /(?:°?[cC]|K)$/, A: /a$/i,
}
const celsius = /°?c$/i
/** Digits of the longest bench display and one to spare (common practice, no source). */
const mostDigits = 9
const kelvinAtZeroCelsius = 273.15
const overload = /^(?:o\.?l\.?|0\.?l\.?|\.ol|open|over|overload)$/i

/**
 * "221.4", "4.70 k", "0.612 V", "OL". The unit may be left out; it is the function's own. The resolution is what the digits say.
 * @returns a sentence in `problem` when the text could mean two things, or nothing.
 */
export const typedValue = (text: string, unit: UnitSymbol): TypedValue | { problem: string } => {
  const plain = text.trim().replaceAll('\u2212', '-').replace(/\s+/g, '')
  if (plain === '') return { problem: 'Type the figure that the meter shows, or OL.' }
  const sign = plain.startsWith('-') ? 'negative-overload' : 'overload'
  if (overload.test(plain.replace(/^[+-]/, ''))) return { value: sign, resolution: null }
  if (plain.includes(',')) return { problem: `“${text.trim()}”: write the decimal with a point; a comma could mean two things.` }
  const needsUnit = unit === 'K'
  const mark = unitMarks[unit].exec(plain)?.[0] ?? ''
  if (needsUnit && mark === '') return { problem: `“${text.trim()}”: write °C or K behind the figure.` }
  // Nobody's display shows an exponent or so many digits: that is a scanned code.
  if (/\de/i.test(plain) || plain.replace(/\D/g, '').length > mostDigits) return { problem: `“${text.trim()}” is no figure that a meter shows.` }
  if (unit === 'Ω' && mark === '' && /\dm$/.test(plain)) return { problem: `“${text.trim()}”: mega is a capital M, and milliohms are written mΩ.` }
  const rest = mark === '' ? plain : plain.slice(0, -mark.length)
  const prefix = /[a-zµμ]$/i.exec(rest)?.[0] ?? ''
  const power = powers[prefix]
  const figure = readFigure(prefix === '' ? rest : rest.slice(0, -1))
  if (power === undefined || figure === null) {
    return { problem: `“${text.trim()}” is no figure in ${unit}. Type it as the meter shows it, such as 221.4, 4.70 k or OL.` }
  }
  const value = scaled(figure.count, figure.power + power)
  const resolution = scaled(1, figure.power + power)
  if (value === null || resolution === null) return { problem: `“${text.trim()}” is beyond what a meter can show.` }
  return needsUnit && celsius.test(mark) ? { value: value + kelvinAtZeroCelsius, resolution } : { value, resolution }
}
