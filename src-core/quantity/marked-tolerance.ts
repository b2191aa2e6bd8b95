/** The tolerance at the end of a marking, apart from the value before it: "5 %", "± 5%", "+80 % -20 %", " J", or the letter on a code. */
import type { PartKind } from './letter-digit-code'
import { type Tolerance, toleranceOfLetter } from './tolerance-letters'

export type MarkedTolerance = {
  /** The value, without spaces. */
  body: string
  tolerance: { kind: 'stated'; tolerance: Tolerance } | { kind: 'letter'; letter: string } | null
}

const inPercent = /^(.*?)(?:^|\s+|\s*(?:±|\+\/?-)\s*)(\d+(?:\.\d+)?)\s*%$/
const lopsided = /^(.*?)\s*\+\s*(\d+(?:\.\d+)?)\s*%?\s*\/?\s*-\s*(\d+(?:\.\d+)?)\s*%$/
const letterAtEnd = /^(.*\S)(\s*)([A-Z])$/
/** What is a whole value without the letter behind it, so that this can be a tolerance: "104", "4K7", "22R", "R22", "100n", "4.7k", "100nF". */
const wholeCode = /^(?:\d{3,4}|\d*[A-Za-zµ]\d+|\d+[A-Za-zµ]\d*|[\d.]+[pnµumkKMG][FHΩ]?|[\d.]+[FHΩ])$/
/** "100nF", "10µH", "1F": the letter is the unit. Three digits and F are a code with a tolerance. */
const withUnit = /^(?!\d{3,4}[FH]$)(?:\d+(?:\.\d*)?|\.\d+)[pnµum]?[FH]$/
/** "100K", "4.7 M", on a resistor: the letter is its prefix. */
const withPrefix = /^(?:\d+(?:\.\d*)?|\.\d+)[KMGT]$/

const share = (percent: string): number => Number(`${percent}e-2`)
const without = (spaced: string): string => spaced.replace(/\s+/g, '')

/**
 * A letter behind a gap that is a prefix of ohms as well as a tolerance: "220 G", "100 K", "4.7 M". Null: it can be one of them only.
 * Without the gap it is the prefix, as parts are marked.
 */
export const prefixOrTolerance = (text: string, hint: PartKind | null): { body: string; letter: string } | null => {
  const [, before = '', gap = '', letter = ''] = letterAtEnd.exec(text) ?? []
  const body = without(before)
  const both = gap !== '' && (hint === null || hint === 'resistor') && withPrefix.test(`${body}${letter}`) && toleranceOfLetter(letter, null) !== null
  return both ? { body, letter } : null
}

/** @param hint what the part is; a K behind plain digits is kilo on a resistor, 10 % on anything else. */
export const markedTolerance = (text: string, hint: PartKind | null): MarkedTolerance => {
  const uneven = lopsided.exec(text)
  if (uneven !== null) {
    const [, body = '', plus = '', minus = ''] = uneven
    return { body: without(body), tolerance: { kind: 'stated', tolerance: { minus: share(minus), plus: share(plus) } } }
  }
  const even = inPercent.exec(text)
  if (even !== null) {
    const [, body = '', percent = ''] = even
    return { body: without(body), tolerance: { kind: 'stated', tolerance: { minus: share(percent), plus: share(percent) } } }
  }
  const whole = { body: without(text), tolerance: null }
  const [, before = '', gap = '', letter = ''] = letterAtEnd.exec(text) ?? []
  const body = without(before)
  if (letter === '' || toleranceOfLetter(letter, null) === null) return whole
  if (withUnit.test(whole.body) && (hint !== 'resistor' || /[pnµu]/.test(whole.body))) return whole
  if (withPrefix.test(whole.body) && (hint === null || hint === 'resistor')) return whole
  return gap !== '' || wholeCode.test(body) ? { body, tolerance: { kind: 'letter', letter } } : whole
}
