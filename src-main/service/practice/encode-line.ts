/** Writes the lines of a described meter: decoding the other way round, for the ways of writing a line that are known here. */
import type { MeterDescription } from '../../../src-core/meter/description'
import { linesOf } from '../../../src-core/meter/framing'
import { type MeterFunction, type UnitSymbol, unitOf } from '../../../src-core/meter/reading'

/** `range` is the full scale in use, SI. */
export type ShownValue = { function: MeterFunction; value: number | 'overload' | 'negative-overload'; range: number }
export type EncodeLine = (shown: ShownValue) => Uint8Array

const unitTexts: Record<UnitSymbol, string[]> = {
  V: ['V'], Ω: ['Ohm', 'Ω', 'R'], F: ['F'], H: ['H'], Hz: ['Hz'], K: ['K', 'C'], A: ['A'],
}

const unitTextsOf = (description: MeterDescription, unit: UnitSymbol): string[] => [
  ...Object.entries(description.units ?? {}).filter(([, symbol]) => symbol === unit).map(([text]) => text), ...unitTexts[unit],
]

type Groups = { function: string; value: string; prefix: string; unit: string; flags: string }

const arrangements: readonly ((groups: Groups) => string)[] = [
  (g) => `${g.function} ${g.value} ${g.prefix}${g.unit} ${g.flags}`,
  (g) => `${g.function} ${g.value} ${g.prefix}${g.unit}${g.flags}`,
  (g) => `${g.function};${g.value};${g.prefix}${g.unit};${g.flags}`,
  (g) => `${g.function},${g.value},${g.prefix}${g.unit},${g.flags}`,
  (g) => `${g.value} ${g.prefix}${g.unit} ${g.function} ${g.flags}`,
  (g) => `${g.value};${g.prefix}${g.unit};${g.function};${g.flags}`,
]

/** A figure as it is, and with its sign and as many digits as the display has. */
const figures = (figure: string, digits: number): string[] => {
  const [, minus = '', whole = '', point = ''] = /^(-?)(\d+)(\.\d+)?$/.exec(figure) ?? []
  if (whole === '') return [figure]
  const decimals = Math.max(0, point.length - 1)
  return [figure, `${minus === '' ? '+' : '-'}${whole.padStart(digits - decimals, '0')}${point === '' ? '.' : point}`]
}

/** The prefix that shows this full scale with one to three digits before the point, "" among them. */
const prefixFor = (description: MeterDescription, range: number): [text: string, factor: number] => {
  const all: [string, number][] = [['', 1], ...Object.entries(description.prefixes)]
  const fit = all.filter(([, factor]) => range / factor >= 0.9999 && range / factor < 1000)
  const [first] = fit.length > 0 ? fit : all.sort((a, b) => Math.abs(Math.log10(range / a[1])) - Math.abs(Math.log10(range / b[1])))
  return first ?? ['', 1]
}

const bytesOf = (text: string, delimiter: string): Uint8Array =>
  Uint8Array.from([...Buffer.from(text, 'utf8'), ...Buffer.from(delimiter, 'hex')])

/**
 * An encoder for this description, tried against its own pattern for every function.
 * @throws Error when no arrangement of the fields known here fits the pattern; the message says so.
 */
export const lineEncoder = (description: MeterDescription): EncodeLine => {
  const pattern = new RegExp(`^(?:${description.pattern})$`)
  const keys = new Map(Object.entries(description.functions).map(([key, described]) => [described.is, { key, counts: described.counts }]))
  const autoRange = Object.entries(description.flags).find(([, flag]) => flag === 'auto-range')?.[0] ?? ''

  const fits = (line: string, groups: Groups): boolean => {
    const found = pattern.exec(line)?.groups
    return found !== undefined && (found.function ?? '').trim() === groups.function && (found.value ?? '').trim() === groups.value
      && (found.prefix ?? '') === groups.prefix && (found.unit ?? '') === groups.unit && (found.flags ?? '').trim() === groups.flags
  }

  const written = (groups: Omit<Groups, 'unit' | 'flags'>, counts: number, unit: UnitSymbol): string | null => {
    for (const text of unitTextsOf(description, unit)) {
      for (const value of figures(groups.value, String(counts).length)) {
        for (const flags of [autoRange, autoRange.padEnd(6, '-')]) {
          for (const arrange of arrangements) {
            const whole = { ...groups, value, flags, unit: text }
            const line = arrange(whole).trimEnd()
            if (fits(line, whole)) return line
          }
        }
      }
    }
    return null
  }

  const encode: EncodeLine = (shown) => {
    const found = keys.get(shown.function)
    if (!found) throw new Error(`${description.name} has no ${shown.function} among its functions; the practice meter cannot show it.`)
    const [prefix, factor] = prefixFor(description, shown.range)
    const value = shown.value === 'overload' ? description.overload[0] ?? 'OL'
      : shown.value === 'negative-overload' ? description.negativeOverload?.[0] ?? `-${description.overload[0] ?? 'OL'}`
        : (shown.value / factor).toFixed(Math.max(0, Math.round(Math.log10((found.counts * factor) / shown.range))))
    const plain = value.replace(/^-(0(?:\.0*)?)$/, '$1')
    const line = written({ function: found.key, value: plain, prefix }, found.counts, unitOf[shown.function])
    if (line === null) {
      const example = `${found.key} ${plain} ${prefix}${unitTexts[unitOf[shown.function]][0] ?? ''} ${autoRange}`
      throw new Error(`The practice meter cannot speak "${description.name}": its pattern takes none of the lines it can write, `
        + `such as "${example}". Choose another meter description.`)
    }
    return bytesOf(line, linesOf(description).delimiter)
  }
  for (const [is, { key }] of keys) encode({ function: is, value: 0, range: description.functions[key]?.lowestRange ?? 1 })
  return encode
}
