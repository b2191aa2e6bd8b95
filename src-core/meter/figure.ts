/** A figure as a display shows it, read without rounding: whole counts and the power of ten one count stands for. */

/** The value is count × 10^power; `count` is a whole number of at most 15 digits. */
export type Figure = { count: number; power: number }

const zero = 48
const nine = 57
const mostDigits = 15

const readExponent = (text: string): number | null => (/^[+-]?\d{1,2}$/.test(text) ? Number(text) : null)

/**
 * "-12.34", "+00.612", "- 0.5", ".47", "1.2345E-03". Null for anything else: a blank, two points, a comma, no digit,
 * more than 15 digits.
 */
export const readFigure = (text: string): Figure | null => {
  let at = 0
  const negative = text.charCodeAt(0) === 45
  if (negative || text.charCodeAt(0) === 43) at = 1
  while (text.charCodeAt(at) === 32) at += 1
  let count = 0
  let digits = 0
  let decimals = -1
  for (; at < text.length; at += 1) {
    const code = text.charCodeAt(at)
    if (code >= zero && code <= nine) {
      count = count * 10 + (code - zero)
      digits += 1
      if (decimals >= 0) decimals += 1
    } else if (code === 46 && decimals < 0) {
      decimals = 0
    } else {
      break
    }
  }
  if (digits === 0 || digits > mostDigits) return null
  let exponent: number | null = 0
  if (at < text.length) {
    if (text[at] !== 'E' && text[at] !== 'e') return null
    exponent = readExponent(text.slice(at + 1))
    if (exponent === null) return null
  }
  return { count: negative && count !== 0 ? -count : count, power: exponent - Math.max(decimals, 0) }
}

const tens = Array.from({ length: 23 }, (_, power) => Number(`1e${power}`))

/** count × 10^power, correctly rounded: both factors are exact for powers of −22 to 22. Null outside them. */
export const scaled = (count: number, power: number): number | null => {
  const ten = tens[Math.abs(power)]
  if (ten === undefined) return null
  return power < 0 ? count / ten : count * ten
}

/** The power of ten a factor is, such as 3 for 1000; null if it is none. */
export const powerOfTen = (factor: number): number | null => {
  const power = Math.round(Math.log10(factor))
  return Number(`1e${power}`) === factor ? power : null
}
