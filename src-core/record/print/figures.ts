/**
 * Numbers and units as the SI Brochure asks (9th edition, 2019, 5.4.3 and 5.4.4; clauses from memory): a space between figure and unit,
 * digits in threes from the point where there are more than four, U+2212 for minus.
 */
import { unitSymbol } from '../../meter/reading'
import { inWords } from '../../quantity/engineering'
import { reported } from '../../metrology/rounding'
import type { RecordValue } from '../step-schema'

const thin = '\u2009'
const minus = '\u2212'

const fromPoint = (digits: string): string => (digits.length > 4 ? digits.replace(/(\d{3})(?=\d)/g, `$1${thin}`) : digits)
const toPoint = (digits: string): string => (digits.length > 4 ? digits.replace(/\B(?=(\d{3})+$)/g, thin) : digits)

/** Digits in threes in every figure of a text that is a decimal number: "9.99871" is "9.998 71" with thin spaces. */
export const grouped = (text: string): string =>
  text.replace(/(?<![\w.-])(\d+)(?:\.(\d+))?(?![\w.]*\w)/g, (_, whole: string, decimals: string | undefined) =>
    (decimals === undefined ? toPoint(whole) : `${toPoint(whole)}.${fromPoint(decimals)}`))

/** A figure with a unit that no prefix fits, or a plain number. */
export const figure = (value: number, unit = ''): string => `${grouped(String(value).replace('-', minus))}${unit === '' ? '' : ` ${unit}`}`

/** An SI value at its shortest: "470 Ω", "1.2 mV". */
export const quantity = (value: number, unit: string): string => {
  const known = unitSymbol.safeParse(unit)
  return known.success ? grouped(inWords(value, known.data, null)) : figure(value, unit)
}

/** To two significant digits, as an uncertainty is told. */
export const twoDigits = (value: number, unit: string): string => quantity(Number(value.toPrecision(2)), unit)

/** "(221.4 ± 1.3) Ω", "open". Without an uncertainty the figure as the meter showed it. */
export const valueWithU = ({ value, words, unit, uncertainty }: Pick<RecordValue, 'value' | 'words' | 'unit'> & { uncertainty: Pick<NonNullable<RecordValue['uncertainty']>, 'U' | 'words'> | null }): string => {
  const known = unitSymbol.safeParse(unit)
  if (typeof value !== 'number' || uncertainty === null) return grouped(words)
  if (!known.success || !(uncertainty.U > 0)) return `${grouped(words)} ${grouped(uncertainty.words)}`
  return grouped(reported(value, uncertainty.U, known.data).words)
}

/** "2026-03-14 09:10:00 +01:00", from a moment with its offset. */
export const moment = (at: string): string => at.replace(/^(\S+?)T(\d\d:\d\d:\d\d)(?:\.\d+)?(Z|[+-]\d\d:\d\d)$/, (_, day: string, time: string, offset: string) =>
  `${day} ${time} ${offset === 'Z' ? 'UTC' : offset.replace('-', minus)}`)

/** "09:10:00", where the day is told elsewhere. */
export const timeOfDay = (at: string): string => at.slice(11, 19)
