/** What is said below a value while it is typed: how it is read, what is wrong with it before Enter is pressed, or what may be typed. */
import type { UnitSymbol } from '../meter/reading'
import { inWords } from './engineering'
import { typedValue } from './typed-value'

export type TypedHint = { kind: 'example' | 'reads' | 'problem'; words: string }

const example = (unit: UnitSymbol): string => (unit === 'K' ? 'read by eye: such as 23.5 °C, OL' : 'read by eye: such as 221.4, 4.70 k, OL')

/** What may still come behind the beginning of "open", "over", "overload", "OL", "ohm" and "Hz". */
const endings = ['l', 'pen', 'en', 'n', 'ver', 'er', 'r', 'oad', 'ad', 'd', 'hm', 'm', 'z']

/** A sign, a point, a word half written: no fault yet. */
const hasJustBegun = (text: string, unit: UnitSymbol): boolean =>
  /^[+\-\u2212]?\s*(?:\d*\.)?$/.test(text) || endings.some((ending) => !('problem' in typedValue(text + ending, unit)))

/** @param tooFast its Enter came faster than a hand's, so nothing was kept. */
export const typedHint = (text: string, unit: UnitSymbol, tooFast: boolean): TypedHint => {
  const typed = text.trim()
  if (typed === '') return { kind: 'example', words: example(unit) }
  const meant = typedValue(typed, unit)
  if ('problem' in meant) {
    if (tooFast) return { kind: 'problem', words: `That came too fast for a hand, so nothing was kept. ${meant.problem}` }
    return hasJustBegun(typed, unit) ? { kind: 'example', words: example(unit) } : { kind: 'problem', words: meant.problem }
  }
  const words = inWords(meant.value, unit, meant.resolution)
  return tooFast ? { kind: 'problem', words: `That came too fast for a hand: press Enter to keep ${words}, or clear it.` } : { kind: 'reads', words: `= ${words}` }
}
