/** Meters nobody has described: random lines, random pictures of a display, packed digits; each with its own encoder, apart from the app's. */
import type { Random } from '../../../../src-core/circuit/seeded-random'
import type { MeterFunction } from '../../../../src-core/meter/reading'

export type Range = { decimals: number; mark: string }
export type Display = { function: MeterFunction; range: Range; digits: string; negative: boolean; overload: boolean }
export type UnknownMeter = { counts: number; ranges: Partial<Record<MeterFunction, Range[]>>; encode: (display: Display) => Uint8Array; about: string
  /** Zeros in front of a figure are blank. */
  blanks?: boolean }

/** The digits as this meter shows them. */
export const digitsOn = ({ blanks }: UnknownMeter, digits: string, decimals: number): string =>
  (blanks === true ? digits.replace(new RegExp(`^0+(?=\\d{${decimals + 1}})`), '') : digits)

export const pick = <T>(random: Random, from: readonly T[]): T => {
  const found = from[Math.floor(random() * from.length)]
  if (found === undefined) throw new Error('nothing to pick from')
  return found
}
export const shuffled = <T>(random: Random, from: readonly T[]): T[] => from.map((each) => ({ each, key: random() })).sort((a, b) => a.key - b.key).map(({ each }) => each)

export const shownText = ({ digits, range: { decimals }, negative, overload }: Display): string => {
  if (overload) return negative ? '-OL' : 'OL'
  const text = decimals === 0 ? digits : `${digits.slice(0, -decimals)}.${digits.slice(-decimals)}`
  return `${negative ? '-' : ''}${text}`
}

const digitsWide = (counts: number): number => String(counts - 1).length

const rangesOf = (width: number): UnknownMeter['ranges'] => ({
  'dc-voltage': [{ decimals: width - 1, mark: 'V' }, { decimals: width - 2, mark: 'V' }, { decimals: 1, mark: 'mV' }],
  resistance: [{ decimals: 1, mark: 'Ω' }, { decimals: width - 1, mark: 'kΩ' }, { decimals: width - 2, mark: 'kΩ' }, { decimals: width - 1, mark: 'MΩ' }],
  diode: [{ decimals: width - 1, mark: 'V' }],
  capacitance: [{ decimals: width - 2, mark: 'nF' }, { decimals: width - 1, mark: 'µF' }],
})

const bytesOf = (text: string): number[] => [...text].map((c) => c.charCodeAt(0))

/** Lines in any order, with their own words, signs and padding. */
export const lineMeter = (random: Random): UnknownMeter => {
  const counts = pick(random, [2000, 6000, 20000])
  const width = digitsWide(counts)
  const words = pick(random, [
    { 'dc-voltage': 'DV', resistance: 'OH', diode: 'DI', capacitance: 'CA' }, { 'dc-voltage': 'volt', resistance: 'res', diode: 'junction', capacitance: 'cap' },
    { 'dc-voltage': '01', resistance: '04', diode: '07', capacitance: '11' },
  ] as Record<string, string>[])
  const ohm = pick(random, ['Ohm', 'R', 'OHM'])
  const separator = pick(random, [' ', ',', '; ', ':'])
  const plus = pick(random, ['+', '', ' '])
  const over = pick(random, ['OL', '-----', '>>>>', 'OVR'])
  const delimiter = pick(random, [[13, 10], [10], [13], [10, 13]])
  const order = shuffled(random, ['function', 'value', 'mark'] as const)
  const columns = random() < 0.4
  const flags = pick(random, ['', 'A', '--A-'])
  const written = (mark: string): string => mark.replace('µ', 'u').replace('Ω', ohm)
  return {
    counts, ranges: rangesOf(width), about: `line ${order.join(' ')} ${columns ? 'in columns' : `with ${JSON.stringify(separator)}`} ${JSON.stringify([plus, over, ohm, flags, delimiter])}`,
    encode: (display) => {
      const sign = display.negative ? '-' : plus
      const body = display.overload ? over : shownText({ ...display, negative: false })
      const value = columns ? (sign + body).padStart(width + 3) : sign + body
      const word = words[display.function] ?? ''
      const mark = written(display.range.mark)
      const cells = { function: columns ? word.padEnd(8) : word, value, mark: columns ? mark.slice(0, /^[kMmun]./.test(mark) ? 1 : 0).padStart(1) + mark.slice(/^[kMmun]./.test(mark) ? 1 : 0).padEnd(4) : mark }
      const line = order.map((each) => cells[each]).join(columns ? '' : separator) + (flags === '' ? '' : (columns ? '' : separator) + flags)
      return Uint8Array.from([...bytesOf(line), ...delimiter])
    },
  }
}

/** Segments of the figures as this meter draws them. */
const drawn = (random: Random): Record<string, string> => ({
  0: 'abcdef', 1: 'bc', 2: 'abged', 3: 'abgcd', 4: 'fgbc', 5: 'afgcd', 6: pick(random, ['afgedc', 'fgedc']), 7: pick(random, ['abc', 'fabc']), 8: 'abcdefg', 9: pick(random, ['abcdfg', 'abcfg']),
  ' ': '', L: 'def',
})

/** A picture of the display: every segment, point and sign a bit somewhere. */
export const mirrorMeter = (random: Random): UnknownMeter => {
  const counts = pick(random, [6000, 2000, 40000])
  const width = digitsWide(counts)
  const shapes = drawn(random)
  const indexed = random() < 0.5
  const bytes = indexed ? 15 : 9
  const places = shuffled(random, Array.from({ length: bytes }, (_, byte) => Array.from({ length: indexed ? 4 : 8 }, (_, bit) => byte * 8 + bit)).flat())
  let next = 0
  const bit = (): number => places[next++] ?? 0
  const digits = Array.from({ length: width }, () => Object.fromEntries([...'abcdefg'].map((letter) => [letter, bit()])))
  const points = Array.from({ length: width - 1 }, bit)
  const [minus, volt, ohm, farad, dc, junction, kilo, mega, milli, micro, nano] = Array.from({ length: 11 }, bit)
  const checked = !indexed && random() < 0.5
  const blanks = random() < 0.3
  const [start, end] = [indexed ? [] : pick(random, [[0xaa], [0x55, 0xaa], []]), indexed ? [] : pick(random, [[0x0d, 0x0a], []])]
  const lit = (display: Display): number[] => {
    const text = display.overload ? '0L'.padStart(width - 1).padEnd(width) : display.digits.padStart(width)
    const { mark, decimals } = display.range
    const on: (number | undefined)[] = [...text].flatMap((character, at) => [...(shapes[character] ?? '')].map((letter) => digits[at]?.[letter]))
    if (decimals > 0) on.push(points[width - 1 - decimals])
    if (display.negative) on.push(minus)
    on.push(...({ 'dc-voltage': [volt, dc], diode: [volt, junction], resistance: [ohm], capacitance: [farad] } as Partial<Record<MeterFunction, (number | undefined)[]>>)[display.function] ?? [])
    on.push({ k: kilo, M: mega, m: milli, µ: micro, n: nano }[mark.length > 1 ? mark[0] ?? '' : ''])
    return on.flatMap((each) => (each === undefined ? [] : [each]))
  }
  return {
    counts, blanks, ranges: rangesOf(width), about: `mirror ${blanks ? 'with blanks ' : ''}${indexed ? 'indexed' : `start ${start.join()} end ${end.join()}`}${checked ? ' with a sum' : ''}`,
    encode: (display) => {
      const data = Array.from({ length: bytes }, (_, byte) => (indexed ? byte << 4 : 0))
      for (const at of lit(display)) data[at >> 3] = (data[at >> 3] ?? 0) | (1 << (at & 7))
      const body = [...start, ...data]
      return Uint8Array.from([...body, ...(checked ? [body.reduce((sum, byte) => sum + byte, 0) & 0xff] : []), ...end])
    },
  }
}

/** Packed digits or a whole number, a code for the function, one for the range, a byte of signs, a check value. */
export const packedMeter = (random: Random): UnknownMeter => {
  const counts = pick(random, [6000, 20000, 50000])
  const width = digitsWide(counts)
  const ranges = rangesOf(width)
  const codes = new Map(shuffled(random, [0x10, 0x11, 0x14, 0x23]).map((code, at) => [(['dc-voltage', 'resistance', 'diode', 'capacitance'] as const)[at], code]))
  const kind = pick(random, ['bcd', 'integer', 'magnitude'] as const)
  const lowFirst = random() < 0.5
  const check = pick(random, ['sum', 'xor', 'none'] as const)
  const start = pick(random, [0xab, 0x5a])
  return {
    counts, ranges, about: `packed ${kind} ${lowFirst ? 'low' : 'high'} first, check ${check}`,
    encode: (display) => {
      const range = (ranges[display.function] ?? []).findIndex(({ decimals, mark }) => decimals === display.range.decimals && mark === display.range.mark)
      const count = Number(display.digits)
      const signs = (display.negative ? 0x04 : 0) | (display.overload ? 0x40 : 0)
      let figure: number[]
      if (kind === 'bcd') {
        const text = (display.overload ? '' : display.digits).padStart(6, '0')
        figure = [0, 2, 4].map((at) => Number.parseInt(text.slice(at, at + 2), 16))
      } else {
        const value = display.overload ? 0x7fffff : kind === 'integer' && display.negative ? 0x1000000 - count : count
        figure = [(value >> 16) & 0xff, (value >> 8) & 0xff, value & 0xff]
      }
      if (lowFirst) figure.reverse()
      const body = [start, codes.get(display.function as 'diode') ?? 0, 0x80 | range, kind === 'integer' ? signs & 0x40 : signs, ...figure]
      const tail = check === 'sum' ? [body.reduce((sum, byte) => sum + byte, 0) & 0xff] : check === 'xor' ? [body.reduce((x, byte) => x ^ byte, 0)] : []
      return Uint8Array.from([...body, ...tail])
    },
  }
}

/** The same meter, that sends a bar of 40 pieces in front: bits that go with the figure and say nothing new. */
export const withBar = (meter: UnknownMeter): UnknownMeter => ({
  ...meter, about: `${meter.about}, with a bar`,
  encode: (display) => {
    const bar = display.overload ? 40 : Math.floor((Number(display.digits) / meter.counts) * 40)
    const pieces = Array.from({ length: 5 }, (_, byte) => [0, 1, 2, 3, 4, 5, 6, 7].reduce((bits, bit) => (byte * 8 + bit < bar ? bits | (1 << bit) : bits), 0))
    return Uint8Array.from([0x77, ...pieces, ...meter.encode(display)])
  },
})
