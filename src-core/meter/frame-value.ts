/** The figure of a frame: ASCII, binary coded decimal, seven-segment digits, integers, or IEEE 754 floats. */
import { readFigure } from './figure'
import { bitPlace, bitsTest, byteReader } from './frame-bits'
import type { SegmentPlaces, ValueField } from './framing'
import type { ReadingParts } from './make-reading'
import { textReader } from './frame-text'

/** What a reading is made of; null where a digit is none of the map or a decimal point makes no sense. */
export type ValueReader = (frame: Uint8Array) => ReadingParts['value'] | null

const aboveRange = { outOfRange: 'overload' } as const
const belowRange = { outOfRange: 'negative-overload' } as const

type DigitsReader = (frame: Uint8Array) => string | null

const asciiDigits = ({ from, to }: Extract<ValueField, { kind: 'ascii' }>): DigitsReader => textReader({ kind: 'ascii', from, to })

const bcdDigits = ({ digits, others }: Extract<ValueField, { kind: 'bcd' }>): DigitsReader => {
  const characters = Array.from({ length: 16 }, (_, nibble) => (nibble < 10 ? String(nibble) : others?.[nibble.toString(16)] ?? null))
  const places = digits.map(({ byte, nibble }) => ({ read: byteReader(byte).value, shift: nibble === 'high' ? 4 : 0 }))
  return (frame) => {
    let text = ''
    for (const { read, shift } of places) {
      const character = characters[(read(frame) >> shift) & 0xf]
      if (character === null || character === undefined) return null
      text += character
    }
    return text
  }
}

const segmentLetters = ['a', 'b', 'c', 'd', 'e', 'f', 'g'] as const

/** Segments as a number, a the lowest bit, from their letters. */
const segmentsOf = (letters: string): number => segmentLetters.reduce((on, letter, bit) => (letters.includes(letter) ? on | (1 << bit) : on), 0)

const segmentDigit = (places: SegmentPlaces, characters: readonly (string | null)[]): ((frame: Uint8Array) => string | null) => {
  const bits = segmentLetters.map((letter) => bitPlace(places[letter])).map(({ byte, bit }) => ({ read: byteReader(byte).value, bit }))
  return (frame) => {
    let on = 0
    for (let segment = 0; segment < bits.length; segment += 1) {
      const place = bits[segment]
      if (place !== undefined) on |= ((place.read(frame) >> place.bit) & 1) << segment
    }
    return characters[on] ?? null
  }
}

const segmentDigits = ({ digits, map }: Extract<ValueField, { kind: 'segments' }>): DigitsReader => {
  const characters: (string | null)[] = Array.from({ length: 128 }, () => null)
  for (const [letters, character] of Object.entries(map)) characters[segmentsOf(letters)] = character
  const readers = digits.map((places) => segmentDigit(places, characters))
  return (frame) => {
    let text = ''
    for (const read of readers) {
      const character = read(frame)
      if (character === null) return null
      text += character
    }
    return text
  }
}

/** "- 0123" with two decimals: leading blanks fall away, a blank between digits makes it no figure. */
const shownText = (digits: string, negative: boolean, decimals: number, overload: ReadonlySet<string>): ReadingParts['value'] => {
  const trimmed = digits.trim()
  if (trimmed === '') return ''
  if (overload.has(trimmed)) return negative ? `-${trimmed}` : trimmed
  const figure = readFigure(trimmed)
  if (figure === null) return trimmed
  return { count: negative && figure.count !== 0 ? -figure.count : figure.count, power: figure.power - decimals }
}

const integerOf = ({ byte, bytes, order, signed }: Extract<ValueField, { kind: 'integer' }>): ((frame: Uint8Array) => number) => {
  const places = Array.from({ length: bytes }, (_, index) => byteReader(byte + (order === 'high-first' ? index : bytes - 1 - index)).value)
  const [half, whole] = [2 ** (8 * bytes - 1), 2 ** (8 * bytes)]
  return (frame) => {
    let value = 0
    for (const read of places) value = value * 256 + read(frame)
    return signed && value >= half ? value - whole : value
  }
}

const floatOf = ({ byte, bytes, order }: Extract<ValueField, { kind: 'float' }>): ((frame: Uint8Array) => number) => {
  const from = byteReader(byte).place
  return (frame) => {
    const start = from(frame)
    if (start < 0 || start + bytes > frame.length) return Number.NaN
    const view = new DataView(frame.buffer, frame.byteOffset, frame.length)
    return bytes === 4 ? view.getFloat32(start, order === 'low-first') : view.getFloat64(start, order === 'low-first')
  }
}

/** @param overload what stands for out of range in the description, such as "OL" */
export const valueReader = (field: ValueField, overload: readonly string[]): ValueReader => {
  const outOfRange = (field.overloadWhen ?? []).map(bitsTest)
  const isNegative = field.negative === undefined ? () => false : bitsTest(field.negative)
  const decimalsText = field.decimals === undefined ? () => '0' : textReader(field.decimals)

  const figureOf = (): ((frame: Uint8Array, negative: boolean, decimals: number) => ReadingParts['value'] | null) => {
    switch (field.kind) {
      case 'ascii': case 'bcd': case 'segments': {
        const overloads = new Set(overload)
        const digits = field.kind === 'ascii' ? asciiDigits(field) : field.kind === 'bcd' ? bcdDigits(field) : segmentDigits(field)
        return (frame, negative, decimals) => {
          const text = digits(frame)
          return text === null ? null : shownText(text, negative, decimals, overloads)
        }
      }
      case 'integer': {
        const read = integerOf(field)
        const [over, under] = [field.overload ?? [], field.negativeOverload ?? []]
        return (frame, negative, decimals) => {
          const count = read(frame)
          if (over.includes(count)) return negative ? belowRange : aboveRange
          if (under.includes(count)) return belowRange
          return { count: negative && count !== 0 ? -count : count, power: -decimals }
        }
      }
      case 'float': {
        const read = floatOf(field)
        return (frame, negative, decimals) => {
          const float = negative ? -read(frame) : read(frame)
          if (Number.isNaN(float)) return null
          return Number.isFinite(float) ? { float, decimals } : float > 0 ? aboveRange : belowRange
        }
      }
    }
  }
  const figure = figureOf()
  return (frame) => {
    const negative = isNegative(frame)
    for (const holds of outOfRange) if (holds(frame)) return negative ? belowRange : aboveRange
    const decimals = decimalsText(frame)
    if (decimals === null || decimals.length !== 1 || decimals < '0' || decimals > '9') return null
    return figure(frame, negative, decimals.charCodeAt(0) - 48)
  }
}
