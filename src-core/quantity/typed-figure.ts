/** Reads the figures of a form, as they are written in a data sheet or a certificate, and keeps the first thing wrong with them. */
import type { UnitSymbol } from '../meter/reading'
import { typedValue } from './typed-value'

export type Bound = 'any' | 'at least 0' | 'above 0'

export type TypedReader = {
  /** The first thing wrong, in a sentence; then what was read means nothing. */
  problem: () => string | null
  /** "600", "6 k", "9.99987 kΩ". @param what names the field. */
  si: (text: string, unit: UnitSymbol, what: string, bound: Bound) => number
  /** Null where nothing is typed. */
  siOrNull: (text: string, unit: UnitSymbol, what: string, bound: Bound) => number | null
  /** A figure with no unit or one that is not scaled, such as %, from `least` to `most`. */
  plain: (text: string, what: string, least: number, most: number) => number
}

const outside = (value: number, bound: Bound): boolean => (bound === 'above 0' ? value <= 0 : bound === 'at least 0' && value < 0)

export const typedReader = (): TypedReader => {
  let first: string | null = null
  const wrong = (why: string): number => {
    first ??= why
    return 0
  }
  const si: TypedReader['si'] = (text, unit, what, bound) => {
    if (text.trim() === '') return wrong(`${what} is missing. Type a figure in ${unit}, such as 600 or 6 k.`)
    const read = typedValue(text, unit)
    if ('problem' in read) return wrong(`${what}: ${read.problem}`)
    if (typeof read.value !== 'number') return wrong(`${what}: “${text.trim()}” is no figure.`)
    return outside(read.value, bound) ? wrong(`${what} must be ${bound}; it is “${text.trim()}”.`) : read.value
  }
  return {
    si,
    problem: () => first,
    siOrNull: (text, unit, what, bound) => (text.trim() === '' ? null : si(text, unit, what, bound)),
    plain: (text, what, least, most) => {
      const figure = text.trim()
      const value = /^[+-]?(\d+\.?\d*|\.\d+)$/.test(figure) ? Number(figure) : null
      if (value === null) return wrong(figure === '' ? `${what} is missing.` : `${what}: “${figure}” is no figure. Write it like 0.5, with a point.`)
      return value < least || value > most ? wrong(`${what} must be from ${least} to ${most}; it is “${figure}”.`) : value
    },
  }
}
