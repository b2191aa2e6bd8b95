/** Finds the figure in the bytes of a frame: ASCII digits, binary coded decimal, integers, floats. */
import { readFigure } from '../figure'
import type { ValueField } from '../framing'
import type { ReadShown, ShownFigure } from './shown'

export type FigureAt = { frame: Uint8Array; figure: ShownFigure }
/** `signed`: the field itself says the sign. `pointed`: it holds the point. */
export type FoundFigure = { field: ValueField; bytes: number[]; nibbles: { byte: number; nibble: 'high' | 'low' }[]; signed: boolean; pointed: boolean; open: number }

const range = (from: number, to: number): number[] => Array.from({ length: Math.max(0, to - from + 1) }, (_, index) => from + index)

const textAt = (frame: Uint8Array, from: number, to: number): string | null => {
  let text = ''
  for (let at = from; at <= to; at += 1) {
    const byte = frame[at] ?? 0
    if (byte < 32 || byte > 126) return null
    text += String.fromCharCode(byte)
  }
  return text.trim()
}

const signedCount = ({ count, negative }: ShownFigure): number => (negative && count !== 0 ? -count : count)

export const asciiFigure = (all: readonly FigureAt[]): FoundFigure | null => {
  const length = all[0]?.frame.length ?? 0
  const found = range(0, length - 1).flatMap((from) => range(from + 1, Math.min(length - 1, from + 11)).flatMap((to) => {
    const read = all.map(({ frame, figure }) => {
      const text = textAt(frame, from, to)
      const is = text === null || /[eE]/.test(text) ? null : readFigure(text)
      return is !== null && Math.abs(is.count) === figure.count ? { is, figure } : null
    })
    if (read.some((each) => each === null)) return []
    const known = read.flatMap((each) => (each === null ? [] : [each]))
    const pointed = known.every(({ is, figure }) => -is.power === figure.decimals) && known.some(({ figure }) => figure.decimals > 0)
    const signed = known.every(({ is, figure }) => is.count === signedCount(figure)) && known.some(({ is }) => is.count < 0)
    if (!pointed && known.some(({ is }) => is.power !== 0)) return []
    if (!signed && known.some(({ is }) => is.count < 0)) return []
    return [{ field: { kind: 'ascii', from, to } as const, bytes: range(from, to), nibbles: [], signed, pointed, open: 0 }]
  }))
  return found.sort((a, b) => Number(b.signed) - Number(a.signed) || b.bytes.length - a.bytes.length)[0] ?? null
}

const nibbleOf = (frame: Uint8Array, byte: number, nibble: 'high' | 'low'): number => ((frame[byte] ?? 0) >> (nibble === 'high' ? 4 : 0)) & 0xf

/** A digit of the display that is blank is mostly a nibble of zero, or one above nine. */
export const bcdFigure = (all: readonly FigureAt[], width: number): FoundFigure | null => {
  const length = all[0]?.frame.length ?? 0
  const others: Record<string, string> = {}
  const places = range(0, width - 1).map((digit) => range(0, length - 1).flatMap((byte) => (['high', 'low'] as const).filter((nibble) => all.every(({ frame, figure }) => {
    const at = digit - (width - figure.digits.length)
    const is = nibbleOf(frame, byte, nibble)
    return at < 0 ? is === 0 || is > 9 : is === Number(figure.digits[at])
  })).map((nibble) => ({ byte, nibble }))))
  const seen = (digit: number): number => new Set(all.map(({ figure }) => figure.digits[digit - (width - figure.digits.length)])).size
  if (places.some((each) => each.length === 0)) return null
  const digits = places.flatMap(([first]) => (first === undefined ? [] : [first]))
  if (new Set(digits.map(({ byte, nibble }) => `${byte} ${nibble}`)).size < width) return null
  for (const { frame } of all) for (const { byte, nibble } of digits) {
    const is = nibbleOf(frame, byte, nibble)
    if (is > 9) others[is.toString(16)] = ' '
  }
  const open = places.filter((each, digit) => each.length > 1 || seen(digit) < 2).length
  return {
    field: { kind: 'bcd', digits, ...(Object.keys(others).length === 0 ? {} : { others }) }, bytes: [], nibbles: digits, signed: false, pointed: false, open,
  }
}

const integerAt = (frame: Uint8Array, byte: number, bytes: number, lowFirst: boolean, signed: boolean): number => {
  const value = range(0, bytes - 1).reduce((sum, index) => sum * 256 + (frame[byte + (lowFirst ? bytes - 1 - index : index)] ?? 0), 0)
  return signed && value >= 2 ** (8 * bytes - 1) ? value - 2 ** (8 * bytes) : value
}

export const integerFigure = (all: readonly FigureAt[]): FoundFigure | null => {
  const length = all[0]?.frame.length ?? 0
  const found = [4, 3, 2, 1].flatMap((bytes) => range(0, length - bytes).flatMap((byte) => ([['high-first', false], ['low-first', true]] as const).flatMap(([order, lowFirst]) => {
    const signed = all.every(({ frame, figure }) => integerAt(frame, byte, bytes, lowFirst, true) === signedCount(figure))
    const plain = all.every(({ frame, figure }) => integerAt(frame, byte, bytes, lowFirst, false) === figure.count)
    if (!signed && !plain) return []
    const own = signed && (!plain || all.every(({ figure }) => !figure.negative))
    return [{ field: { kind: 'integer', byte, bytes, order, signed: own } as const, bytes: range(byte, byte + bytes - 1), nibbles: [], signed: own, pointed: false, open: 0 }]
  })))
  const [best] = found
  return best === undefined ? null : { ...best, open: new Set(all.map(({ figure }) => figure.count)).size < 4 ? 1 : 0 }
}

/** Within half a count of what is shown. */
export const floatFigure = (all: readonly FigureAt[]): FoundFigure | null => {
  const length = all[0]?.frame.length ?? 0
  const found = ([8, 4] as const).flatMap((bytes) => range(0, length - bytes).flatMap((byte) => (['high-first', 'low-first'] as const).flatMap((order) => {
    const fits = all.every(({ frame, figure }) => {
      const view = new DataView(frame.buffer, frame.byteOffset, frame.length)
      const float = bytes === 4 ? view.getFloat32(byte, order === 'low-first') : view.getFloat64(byte, order === 'low-first')
      const count = 10 ** -figure.decimals
      return Math.abs(float - signedCount(figure) * count) <= count * 0.51
    })
    return fits ? [{ field: { kind: 'float', byte, bytes, order } as const, bytes: range(byte, byte + bytes - 1), nibbles: [], signed: true, pointed: false, open: 0 }] : []
  })))
  const varied = all.filter(({ figure }) => figure.count > 1).length >= 3
  return varied ? found[0] ?? null : null
}

/** Digits as the display has them from left to right, blanks in front of a shorter figure. */
export const shownDigits = (figure: ReadShown['figure'], width: number): string | null => (typeof figure === 'object' ? figure.digits.padStart(width) : null)
