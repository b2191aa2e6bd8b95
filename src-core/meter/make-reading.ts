/** From the parts of a line or a frame to a reading in SI, or a reject: shared by every kind of framing. */
import type { Seconds } from '../quantity/units'
import type { MeterDescription } from './description'
import { powerOfTen, readFigure, scaled, type Figure } from './figure'
import { unitOf, type MeterFlag, type Reading } from './reading'
import { unitMarks } from './unit-marks'

export type Reject = { reject: string }

/** Texts as they stand in the line, '' where it has none. `value`: as shown, as counts, as a binary float says, or a bit for out of range. */
export type ReadingParts = {
  function: string; value: string | Figure | { float: number; decimals: number } | { outOfRange: 'overload' | 'negative-overload' }; prefix: string; unit: string; flags: string; range: string
}
export type ReadingMaker = (parts: ReadingParts, at: Seconds, raw: string) => Reading | Reject

/** A display shows up to a tenth more than its nominal counts (common practice, no source); more is a broken frame. */
const beyondCounts = 1.1

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

const asText = (value: string | Figure | { float: number }): string =>
  (typeof value === 'string' ? value : 'float' in value ? String(value.float) : `${value.count}e${value.power}`)

/** @throws RangeError for a description that checkDescription refuses. */
export const readingMaker = (description: MeterDescription): ReadingMaker => {
  const functions = new Map(Object.entries(description.functions).map(([key, f]) => [key, { ...f, unit: unitOf[f.is] }]))
  const overloads = new Set(description.overload)
  const negativeOverloads = new Set([...(description.negativeOverload ?? []), ...description.overload.map((text) => `-${text}`)])
  const prefixes = prefixPowers(description.prefixes)
  const marks = unitMarks(description.units)
  const readFlags = flagReader(description.flags)
  const readRange = rangeReader(prefixes)

  return (parts, at, raw) => {
    const f = functions.get(parts.function)
    if (f === undefined) return { reject: `the function ${shown(parts.function)} is not in the description` }
    /** Offset to SI of the unit the meter gives. */
    let offset = 0
    if (parts.unit !== '') {
      const mark = marks.get(parts.unit)
      if (mark === undefined) return { reject: `the unit ${shown(parts.unit)} is not known` }
      if (mark.unit !== f.unit) return { reject: `the unit ${shown(parts.unit)} does not belong to ${f.is}` }
      offset = mark.kelvinOffset
    } else if (f.unit === 'K') return { reject: 'a temperature without its unit' }
    const prefix = prefixes.get(parts.prefix)
    if (prefix === undefined) return { reject: `the prefix ${shown(parts.prefix)} is not in the description` }
    const rangeSent = parts.range === '' ? null : readRange(parts.range)
    if (parts.range !== '' && rangeSent === null) return { reject: `the range ${shown(parts.range)} is not a figure` }

    // Written out rather than spread from a common part: a spread here made a reading five times as slow.
    const made = (value: Reading['value'], resolution: number | null, range: number | null): Reading => ({
      at, function: f.is, value, unit: f.unit, resolution, range, flags: readFlags(parts.flags), raw,
    })
    const { value } = parts
    if (typeof value === 'string') {
      if (overloads.has(value)) return made('overload', null, rangeSent)
      if (negativeOverloads.has(value)) return made('negative-overload', null, rangeSent)
      if (value === '') return { reject: 'the value is blank' }
    } else if ('outOfRange' in value) return made(value.outOfRange, null, rangeSent)
    const figure = typeof value === 'string' ? readFigure(value) : 'float' in value ? { count: value.float * 10 ** value.decimals, power: -value.decimals } : value
    if (figure === null || Number.isNaN(figure.count)) return { reject: `the value ${shown(asText(value))} is not a number` }
    if (Math.abs(figure.count) > f.counts * beyondCounts) return { reject: `the value ${shown(asText(value))} is more than ${f.counts} counts` }
    const power = figure.power + prefix
    const exact = typeof value === 'object' && 'float' in value ? scaled(value.float, prefix) : scaled(figure.count, power)
    const resolution = scaled(1, power)
    const fullScale = scaled(f.counts, power)
    if (exact === null || resolution === null || fullScale === null) {
      return { reject: `the value ${shown(asText(value))} is out of all proportion` }
    }
    return made(exact + offset, resolution, rangeSent ?? fullScale + offset)
  }
}
