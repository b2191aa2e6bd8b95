/** From one line of a meter to a reading, as its description says; anything else is a reject, never a guess. */
import type { Seconds } from '../quantity/units'
import type { MeterDescription } from './description'
import { powerOfTen, readFigure, scaled } from './figure'
import { latin1, lineBytes, lineText } from './line-bytes'
import { unitOf, type MeterFlag, type MeterFunction, type Reading, type UnitSymbol } from './reading'
import { unitMarks } from './unit-marks'

export type Reject = { reject: string }
export type LineDecoder = (line: Uint8Array | string, at: Seconds) => Reading | Reject

/** A display shows up to a tenth more than its nominal counts (common practice, no source); more is a broken line. */
const beyondCounts = 1.1

/** The whole line must match, whether or not the pattern is anchored. @throws SyntaxError when the pattern does not compile. */
export const wholeLine = (pattern: string): RegExp => {
  new RegExp(pattern)
  return new RegExp(`^(?:${pattern})$`)
}

const prefixPowers = (prefixes: MeterDescription['prefixes']): Map<string, number> => {
  const powers = new Map([['', 0]])
  for (const [text, factor] of Object.entries(prefixes)) {
    const power = powerOfTen(factor)
    if (power === null) throw new RangeError(`The prefix "${text}" is ${factor}, which is not a power of ten.`)
    powers.set(text, power)
  }
  return powers
}

const flagReader = (flags: MeterDescription['flags']): ((text: string) => MeterFlag[]) => {
  const known = new Map(Object.entries(flags))
  return (text) => {
    const shown: MeterFlag[] = []
    for (const letter of text) {
      const flag = known.get(letter)
      if (flag !== undefined && !shown.includes(flag)) shown.push(flag)
    }
    return shown
  }
}

/** "600", "6k": full scale as a range field gives it, or null. */
const rangeReader = (prefixes: Map<string, number>) => (text: string): number | null => {
  const [, figureText = '', prefix = ''] = /^([\d.]+) ?(.*)$/.exec(text) ?? []
  const figure = readFigure(figureText)
  const power = prefixes.get(prefix)
  if (figure === null || power === undefined || figure.count <= 0) return null
  return scaled(figure.count, figure.power + power)
}

const shown = (text: string): string => JSON.stringify(text.length > 24 ? `${text.slice(0, 24)}…` : text)

/**
 * Compiles a description once. The decoder takes a line without its delimiter, as bytes or with one character a byte
 * (Latin-1); it never throws. Unit, resolution and range come out in SI.
 * @throws SyntaxError or RangeError for a description that checkDescription refuses.
 */
export const lineDecoder = (description: MeterDescription): LineDecoder => {
  const { delimiter, maxBytes } = description.framing
  const pattern = wholeLine(description.pattern)
  const functions = new Map(Object.entries(description.functions).map(([key, f]) => [key, { ...f, unit: unitOf[f.is] }]))
  const overloads = new Set(description.overload)
  const negativeOverloads = new Set([...(description.negativeOverload ?? []), ...description.overload.map((text) => `-${text}`)])
  const prefixes = prefixPowers(description.prefixes)
  const marks = unitMarks(description.units)
  const readFlags = flagReader(description.flags)
  const readRange = rangeReader(prefixes)

  /** Offset to SI of the unit the line gives; a sentence when it gives one that does not fit the function. */
  const kelvinOffset = (text: string, unit: UnitSymbol, f: MeterFunction): number | string => {
    if (text === '') return unit === 'K' ? 'a temperature without its unit' : 0
    const mark = marks.get(text)
    if (mark === undefined) return `the unit ${shown(text)} is not known`
    return mark.unit === unit ? mark.kelvinOffset : `the unit ${shown(text)} does not belong to ${f}`
  }

  return (line, at) => {
    const oneCharacterAByte = typeof line === 'string' ? line : latin1(line)
    if (oneCharacterAByte.length > maxBytes) return { reject: `the line is longer than ${maxBytes} bytes` }
    const bytes = lineBytes(oneCharacterAByte)
    if (bytes === null) return { reject: 'the line is not made of bytes' }
    const groups = pattern.exec(lineText(oneCharacterAByte, bytes))?.groups
    if (groups === undefined) return { reject: oneCharacterAByte === '' ? 'an empty line' : 'the line does not fit the pattern' }

    const functionText = (groups.function ?? '').trim()
    const f = functions.get(functionText)
    if (f === undefined) return { reject: `the function ${shown(functionText)} is not in the description` }
    const offset = kelvinOffset((groups.unit ?? '').trim(), f.unit, f.is)
    if (typeof offset === 'string') return { reject: offset }
    const prefixText = (groups.prefix ?? '').trim()
    const prefix = prefixes.get(prefixText)
    if (prefix === undefined) return { reject: `the prefix ${shown(prefixText)} is not in the description` }
    const rangeText = (groups.range ?? '').trim()
    const rangeSent = rangeText === '' ? null : readRange(rangeText)
    if (rangeText !== '' && rangeSent === null) return { reject: `the range ${shown(rangeText)} is not a figure` }

    const valueText = (groups.value ?? '').trim()
    // Written out rather than spread from a common part: a spread here made a reading five times as slow.
    const made = (value: Reading['value'], resolution: number | null, range: number | null): Reading => ({
      at, function: f.is, value, unit: f.unit, resolution, range, flags: readFlags(groups.flags ?? ''), raw: bytes.hex + delimiter,
    })
    if (overloads.has(valueText)) return made('overload', null, rangeSent)
    if (negativeOverloads.has(valueText)) return made('negative-overload', null, rangeSent)
    if (valueText === '') return { reject: 'the value is blank' }
    const figure = readFigure(valueText)
    if (figure === null) return { reject: `the value ${shown(valueText)} is not a number` }
    if (Math.abs(figure.count) > f.counts * beyondCounts) return { reject: `the value ${shown(valueText)} is more than ${f.counts} counts` }
    const power = figure.power + prefix
    const value = scaled(figure.count, power)
    const resolution = scaled(1, power)
    const fullScale = scaled(f.counts, power)
    if (value === null || resolution === null || fullScale === null) {
      return { reject: `the value ${shown(valueText)} is out of all proportion` }
    }
    return made(value + offset, resolution, rangeSent ?? fullScale + offset)
  }
}
