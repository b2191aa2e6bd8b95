/** What is printed on surface-mount parts: three and four digits, R for the point, and the two digits and a letter of EIA-96. */
import { decade } from './preferred-values'
import type { PartKind } from './letter-digit-code'

/** The unit the digits count in: ohms, picofarads, microhenries (common practice; IEC 60062 for resistors and capacitors, from memory). */
const power: Record<PartKind, number> = { resistor: 0, capacitor: -12, inductor: -6 }

/** "473", "4702": all digits but the last, times ten to the last; 8 and 9 as the last are 10⁻² and 10⁻¹ on capacitors. Null: not such a code. */
export const readDigitCode = (text: string, kind: PartKind): number | null => {
  if (!/^\d{3,4}$/.test(text)) return null
  const figure = Number(text.slice(0, -1))
  const last = Number(text.slice(-1))
  const exponent = kind === 'capacitor' && last >= 8 ? last - 10 : last
  return figure === 0 && last !== 0 ? null : Number(`${figure}e${exponent + power[kind]}`)
}

/** "4R7", "R47", "0R22", "22R": R is the point. Null: not such a code. */
export const readPointCode = (text: string, kind: PartKind): number | null => {
  const found = /^(\d{0,4})R(\d{0,4})$/.exec(text)
  const [, whole = '', parts = ''] = found ?? []
  return found === null || whole + parts === '' ? null : Number(`${whole}${parts}e${power[kind] - parts.length}`)
}

/**
 * EIA-96 multipliers, ±1 % thin film (from memory). Older letters beside the usual ones: S for X, H for B. R for Y is not read: "22R" is
 * 22 Ω wherever else it stands.
 */
const multipliers: Record<string, number> = { Z: -3, Y: -2, X: -1, S: -1, A: 0, B: 1, H: 1, C: 2, D: 3, E: 4, F: 5 }

/** "01C": the number of an E96 value, and a letter for its power of ten. Ohms; null: not such a code. */
export const readEia96 = (text: string): number | null => {
  const found = /^(\d\d)([A-Z])$/.exec(text)
  const value = decade.E96[Number(found?.[1]) - 1]
  const exponent = multipliers[found?.[2] ?? '']
  return value === undefined || exponent === undefined ? null : Number(`${value}e${exponent}`)
}

const asDigits = (value: number, count: 2 | 3, kind: PartKind): { figure: string; exponent: number } | null => {
  if (!(value > 0 && Number.isFinite(value))) return null
  const [mantissa = '', exponent = '0'] = value.toExponential(count - 1).split('e')
  if (Math.abs(Number(`${mantissa}e${exponent}`) / value - 1) > 1e-9) return null
  return { figure: mantissa.replace('.', ''), exponent: Number(exponent) - (count - 1) - power[kind] }
}

/** Three digits of two figures, or four of three; R for the point below. Null: this value has no such code. */
export const printDigitCode = (value: number, count: 3 | 4, kind: PartKind): string | null => {
  const found = asDigits(value, count === 3 ? 2 : 3, kind)
  if (found === null) return null
  const { figure, exponent } = found
  if (exponent >= 0) return exponent <= (kind === 'capacitor' ? 7 : 9) ? `${figure}${exponent}` : null
  const point = figure.length + exponent
  if (point < 0) return null
  return `${figure.slice(0, point)}R${figure.slice(point)}`
}

/** Null: not an E96 value, or beyond the letters. */
export const printEia96 = (ohms: number): string | null => {
  const found = asDigits(ohms, 3, 'resistor')
  const at = decade.E96.indexOf(Number(found?.figure))
  const letter = Object.keys(multipliers).find((each) => multipliers[each] === found?.exponent)
  return found === null || at < 0 || letter === undefined ? null : `${String(at + 1).padStart(2, '0')}${letter}`
}
