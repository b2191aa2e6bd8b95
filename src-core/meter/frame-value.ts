/** The figure of a frame: ASCII, binary coded decimal, seven-segment digits, integers, or IEEE 754 floats. */
import { readFigure } from './figure'
import { bitPlace, bitsTest, byteReader } from './frame-bits'
import type { SegmentPlaces, ValueField } from './framing'
import { asciiReader, textReader } from './frame-text'
import type { ReadingParts, Reject } from './make-reading'

/** What a reading is made of, or why the frame shows no value. */
export type ValueReader = (frame: Uint8Array) => ReadingParts['value'] | Reject

const aboveRange = { outOfRange: 'overload' } as const
const belowRange = { outOfRange: 'negative-overload' } as const

type DigitsReader = (frame: Uint8Array) => string | null

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

const noDigit: Reject = { reject: 'a digit of the display is none of the map' }
const noDecimals: Reject = { reject: 'the frame gives no place of the decimal point, or two' }
const twoPoints: Reject = { reject: 'the value has a decimal point in its digits and one beside them' }
const twoSigns: Reject = { reject: 'the value has a sign in its digits and one beside them' }
const blankAfter: Reject = { reject: 'the last digit of the value is blank' }
const notANumber: Reject = { reject: 'the value is not a number' }

/** A letter E is a letter on a display, no power of ten. */
const plainFigure = /^[-+]? *[\d.]+$/

type Shown = { overload: ReadonlySet<string>; negativeOverload: ReadonlySet<string>; placed: boolean; signed: boolean; ascii: boolean }

/** How a display's digits read: leading blanks fall away, a blank between or after digits makes it no figure. */
const shownValue = ({ overload, negativeOverload, placed, signed, ascii }: Shown) =>
  (digits: string, negative: boolean, decimals: number): ReadingParts['value'] | Reject => {
    const trimmed = digits.trim()
    if (negativeOverload.has(digits) || negativeOverload.has(trimmed)) return belowRange
    if (overload.has(digits) || overload.has(trimmed)) return negative ? belowRange : aboveRange
    if (trimmed === '' || (!ascii && !plainFigure.test(trimmed))) return trimmed
    const figure = readFigure(trimmed)
    if (figure === null) return trimmed
    if (placed && trimmed.includes('.')) return twoPoints
    if (placed && digits.charCodeAt(digits.length - 1) === 32) return blankAfter
    if (signed && (trimmed.startsWith('-') || trimmed.startsWith('+'))) return twoSigns
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

/** Digits, whatever they are written in. */
const digitsReader = (field: Extract<ValueField, { kind: 'ascii' | 'bcd' | 'segments' }>): DigitsReader => {
  switch (field.kind) {
    case 'ascii': return asciiReader(field.from, field.to)
    case 'bcd': return bcdDigits(field)
    case 'segments': return segmentDigits(field)
  }
}

type FigureReader = (frame: Uint8Array, negative: boolean, decimals: number) => ReadingParts['value'] | Reject

const figureReader = (field: ValueField, overload: readonly string[], negativeOverload: readonly string[]): FigureReader => {
  switch (field.kind) {
    case 'ascii': case 'bcd': case 'segments': {
      const digits = digitsReader(field)
      const value = shownValue({
        overload: new Set(overload), negativeOverload: new Set([...negativeOverload, ...overload.map((text) => `-${text}`)]),
        placed: field.decimals !== undefined, signed: field.negative !== undefined, ascii: field.kind === 'ascii',
      })
      return (frame, negative, decimals) => {
        const text = digits(frame)
        return text === null ? noDigit : value(text, negative, decimals)
      }
    }
    case 'integer': {
      const read = integerOf(field)
      const [over, under] = [field.overload ?? [], field.negativeOverload ?? []]
      return (frame, negative, decimals) => {
        const count = read(frame)
        if (over.includes(count)) return negative ? belowRange : aboveRange
        if (under.includes(count)) return belowRange
        return { count: negative && count !== 0 ? -count : count, power: 0 - decimals }
      }
    }
    case 'float': {
      const read = floatOf(field)
      return (frame, negative, decimals) => {
        const sent = read(frame)
        const float = sent === 0 ? 0 : negative ? -sent : sent
        if (Number.isNaN(float)) return notANumber
        return Number.isFinite(float) ? { float, decimals } : float > 0 ? aboveRange : belowRange
      }
    }
  }
}

/** @param overload and negativeOverload: what stands for out of range in the description, such as "OL" */
export const valueReader = (field: ValueField, overload: readonly string[], negativeOverload: readonly string[]): ValueReader => {
  const outOfRange = (field.overloadWhen ?? []).map(bitsTest)
  const isNegative = field.negative === undefined ? () => false : bitsTest(field.negative)
  const decimalsText = field.decimals === undefined ? () => '0' : textReader(field.decimals)
  const figure = figureReader(field, overload, negativeOverload)
  return (frame) => {
    const negative = isNegative(frame)
    for (const holds of outOfRange) if (holds(frame)) return negative ? belowRange : aboveRange
    const decimals = decimalsText(frame)
    if (decimals === null || decimals.length !== 1 || decimals < '0' || decimals > '9') return noDecimals
    return figure(frame, negative, decimals.charCodeAt(0) - 48)
  }
}
