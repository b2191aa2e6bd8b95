/** Numbers of IEEE 488.2, and what SCPI-1999 lets them stand for: overload and not a number. */
import type { MeasuredValue } from '../reading'

export type NumberForm = 'NR1' | 'NR2' | 'NR3'
export type ReadNumber = { form: NumberForm; value: number }

const zero = 48
const nine = 57
const isDigit = (code: number): boolean => code >= zero && code <= nine
const isSign = (text: string, at: number): boolean => text[at] === '+' || text[at] === '-'

const pastDigits = (text: string, from: number): number => {
  let at = from
  while (at < text.length && isDigit(text.charCodeAt(at))) at += 1
  return at
}

/** IEEE 488.2, 7.7.2: more than this may be refused by a listener; no instrument answers so much. */
const mostCharacters = 40

/**
 * "-12" is NR1, "+0.50" and ".5" NR2, "1.2E-03" and "1e3" NR3 (IEEE 488.2-1992, 7.7.2 for the forms a listener takes, 8.7.2 to 8.7.4 for
 * those a talker sends; from memory). Null for anything else: blanks within, two points, a comma, no digit, hexadecimal, words.
 */
export const readNumber = (text: string): ReadNumber | null => {
  if (text.length > mostCharacters) return null
  const whole = isSign(text, 0) ? 1 : 0
  const point = pastDigits(text, whole)
  let digits = point - whole
  let at = point
  if (text[at] === '.') {
    at = pastDigits(text, point + 1)
    digits += at - point - 1
  }
  if (digits === 0) return null
  let form: NumberForm = at === point ? 'NR1' : 'NR2'
  if (text[at] === 'E' || text[at] === 'e') {
    const exponent = isSign(text, at + 1) ? at + 2 : at + 1
    at = pastDigits(text, exponent)
    if (at === exponent) return null
    form = 'NR3'
  }
  if (at !== text.length) return null
  const value = Number(text)
  return Number.isFinite(value) ? { form, value: value === 0 ? 0 : value } : null
}

/** SCPI-1999, volume 1, 7.2.1.4 and 7.2.1.5 (from memory): infinity, its negative, and not a number. */
export const scpiInfinity = 9.9e37
export const scpiNotANumber = 9.91e37
/** No quantity an instrument measures is as large; what is neither this nor infinity is a damaged number. */
const beyondMeasure = 1e30

/** A measured value as SCPI sends it; the number itself in the unit of its function. */
export const readScpiValue = (text: string): MeasuredValue | { reject: string } => {
  const read = readNumber(text)
  if (read === null) return { reject: `the value ${JSON.stringify(text.slice(0, 24))} is not a number` }
  const { value } = read
  if (value === scpiInfinity) return 'overload'
  if (value === -scpiInfinity) return 'negative-overload'
  if (value === scpiNotANumber) return { reject: 'the meter says that it has no number (9.91E37)' }
  return Math.abs(value) > beyondMeasure ? { reject: `the value ${text} is out of all proportion` } : value
}
