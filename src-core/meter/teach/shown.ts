/** What a display shows, as the person at the meter types it: the figure, the function the dial stands at, prefix and unit, annunciators. */
import { z } from 'zod'
import { meterFlag, meterFunction, unitOf, type MeterFunction, type UnitSymbol } from '../reading'

export const shown = z.strictObject({
  function: meterFunction,
  /** "-1.234", "0.47", "OL". */
  text: z.string().max(16),
  /** Prefix and unit as they stand beside the figure: "kΩ", "mV", "°C"; empty where the display names none. */
  mark: z.string().max(8),
  flags: z.array(meterFlag).max(9),
})
export type Shown = z.infer<typeof shown>

/** `negative` stands alone, since a display may show −0.00; `digits` from left to right without the point. */
export type ShownFigure = { digits: string; decimals: number; negative: boolean; count: number }
export type ReadShown = {
  figure: ShownFigure | 'overload' | 'negative-overload'
  /** "", "k", "m", "µ" … and the power of ten it is. */
  prefix: string; power: number
  celsius: boolean
}

const powers: Record<string, number> = { p: -12, n: -9, 'µ': -6, m: -3, '': 0, k: 3, M: 6, G: 9 }
export const prefixFactor = (prefix: string): number => Number(`1e${powers[prefix] ?? 0}`)

const unitWords: Record<string, UnitSymbol> = {
  V: 'V', 'Ω': 'Ω', '\u2126': 'Ω', Ohm: 'Ω', ohm: 'Ω', F: 'F', H: 'H', Hz: 'Hz', A: 'A', '°C': 'K', C: 'K', K: 'K',
}

const readMark = (mark: string): { prefix: string; unit: UnitSymbol | null; celsius: boolean } | null => {
  const text = mark.trim()
  if (text === '') return { prefix: '', unit: null, celsius: false }
  const whole = unitWords[text]
  if (whole !== undefined) return { prefix: '', unit: whole, celsius: text === '°C' || text === 'C' }
  const prefix = text.charAt(0) === 'u' || text.charAt(0) === '\u03bc' ? 'µ' : text.charAt(0) === 'K' ? 'k' : text.charAt(0)
  const unit = unitWords[text.slice(1)]
  return powers[prefix] === undefined || unit === undefined || unit === 'K' ? null : { prefix, unit, celsius: false }
}

const outOfRange = /^[-−]?\.?[O0o]\.?[Ll]\.?$/
const figureShape = /^([-−+]?) ?(\d*)\.?(\d*)$/

/** What was typed, or the sentence that says what is wrong with it. */
export const readShown = (typed: Shown): ReadShown | { problem: string } => {
  const text = typed.text.trim()
  const mark = readMark(typed.mark)
  if (mark === null) return { problem: `“${typed.mark}” is no prefix and unit. Type what stands beside the figure, such as kΩ or mV.` }
  const unit = unitOf[typed.function]
  if (mark.unit !== null && mark.unit !== unit) return { problem: `“${typed.mark}” does not belong to that function, which is shown in ${unit === 'K' ? '°C' : unit}. Choose the function the dial stands at, or correct the unit.` }
  if (unit === 'K' && mark.unit === null) return { problem: 'A temperature needs its unit: type °C or K.' }
  const about = { prefix: mark.prefix, power: powers[mark.prefix] ?? 0, celsius: mark.celsius }
  if (outOfRange.test(text)) return { ...about, figure: /^[-−]/.test(text) ? 'negative-overload' : 'overload' }
  const found = figureShape.exec(text)
  const [, sign = '', whole = '', rest = ''] = found ?? []
  const digits = whole + rest
  if (found === null || digits === '') return { problem: `“${typed.text}” is no figure. Type what the display shows, such as −1.234, or OL for out of range.` }
  if (digits.length > 8) return { problem: `“${typed.text}” has more digits than any display here. Type what the display shows, such as −1.234.` }
  return { ...about, figure: { digits, decimals: text.includes('.') ? rest.length : 0, negative: sign === '-' || sign === '−', count: Number(digits) } }
}

export const isFigure = (figure: ReadShown['figure']): figure is ShownFigure => typeof figure === 'object'

/** "−1.234 kΩ", "OL", as a sentence names it. */
export const inShownWords = ({ text, mark }: Pick<Shown, 'text' | 'mark'>): string =>
  `${text.trim().replace(/^-/, '−')}${mark.trim() === '' ? '' : ` ${mark.trim()}`}`

/** What may stand beside a figure in each function, the usual one first. */
export const marksOf: Record<MeterFunction, readonly string[]> = {
  'dc-voltage': ['V', 'mV', 'µV', ''], 'ac-voltage': ['V', 'mV', 'µV', ''], resistance: ['Ω', 'kΩ', 'MΩ', 'mΩ', 'GΩ', ''], continuity: ['Ω', 'kΩ', ''],
  diode: ['V', 'mV', ''], capacitance: ['nF', 'µF', 'pF', 'mF', 'F', ''], inductance: ['mH', 'µH', 'H', 'nH', ''], frequency: ['Hz', 'kHz', 'MHz', ''],
  temperature: ['°C', 'K'], 'dc-current': ['A', 'mA', 'µA', 'nA', ''], 'ac-current': ['A', 'mA', 'µA', 'nA', ''],
}
