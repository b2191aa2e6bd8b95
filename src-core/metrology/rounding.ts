/** A value and its expanded uncertainty as a report states them: two significant digits of U, and the value to the same place. */
import type { UnitSymbol } from '../meter/reading'
import { engineering, powerOfPrefix } from '../quantity/engineering'

export type Reported = {
  /** Both rounded, SI. */
  value: number
  U: number
  /** Power of ten that the last digit of both stands for. */
  last: number
  /** "(221.4 ± 1.3) Ω". */
  words: string
  /** The same apart, for a table: figures, and prefix with unit. */
  figures: { value: string; U: string; unit: string }
}

const exponentOf = (x: number): number => Number(x.toExponential(1).split('e')[1])

/** No dust of binary fractions: 0.1 + 0.2 at the place of tenths is 0.3. */
const atPlace = (x: number, last: number): number => {
  const places = Number((Math.abs(x) / Number(`1e${last}`)).toPrecision(14))
  // Halves away from zero on both sides, so that a value and its negative are rounded alike.
  return Math.sign(x) * Number(`${Math.round(places)}e${last}`)
}

const minus = '\u2212'

/**
 * To the nearest, as JCGM 100:2008, 7.2.6 and EA-4/02 M:2022, 6.3 have it (clauses from memory). The latter asks to round up where
 * rounding down takes more than 5 % away; at two digits it never does: the most is 0.05 of 1.05. A value that a meter cannot resolve so
 * finely keeps the digits of U all the same.
 * @throws RangeError when the value or U is not finite, or U is not above zero.
 */
export const reported = (value: number, U: number, unit: UnitSymbol): Reported => {
  if (!Number.isFinite(value) || !Number.isFinite(U) || U <= 0) throw new RangeError(`${value} ± ${U} cannot be reported.`)
  // 9.96 to two digits is 10, not 10.0: where U is rounded up to the next power of ten, its last place is that of the new one.
  const first = exponentOf(U) - 1
  const last = exponentOf(atPlace(U, first)) - 1
  const roundedU = atPlace(U, last)
  const rounded = atPlace(value, last)
  const { prefix } = engineering(Math.max(Math.abs(rounded), roundedU), Number(`1e${last}`))
  const power = powerOfPrefix(prefix)
  const figure = (x: number): string => {
    const text = Number((Math.abs(x) / Number(`1e${power}`)).toPrecision(14)).toFixed(Math.max(0, power - last))
    return x < 0 ? minus + text : text
  }
  const figures = { value: figure(rounded), U: figure(roundedU), unit: `${prefix}${unit}` }
  return { value: rounded === 0 ? 0 : rounded, U: roundedU, last, figures, words: `(${figures.value} ± ${figures.U}) ${figures.unit}` }
}
