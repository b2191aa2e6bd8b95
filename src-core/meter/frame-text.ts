/** The texts of a frame: what function, prefix, unit and range it names, looked up as a line's would be. */
import { bitsTest, byteReader } from './frame-bits'
import type { TextField } from './framing'

/** The text of a field; null, and so a reject, where the frame says none. */
export type TextReader = (frame: Uint8Array) => string | null

/** Bytes from…to as they stand; null where one is no printable character. */
export const asciiReader = (first: number, last: number): TextReader => {
  const [from, to] = [byteReader(first), byteReader(last)]
  return (frame) => {
    let text = ''
    for (let at = from.place(frame), end = to.place(frame); at <= end; at += 1) {
      const byte = frame[at] ?? 0
      if (byte < 32 || byte > 126) return null
      text += String.fromCharCode(byte)
    }
    return text
  }
}

export const textReader = (field: TextField): TextReader => {
  switch (field.kind) {
    case 'constant': return () => field.text
    case 'ascii': {
      const read = asciiReader(field.from, field.to)
      return (frame) => read(frame)?.trim() ?? null
    }
    case 'code': {
      const read = byteReader(field.byte).value
      const mask = field.mask === undefined ? 0xff : Number.parseInt(field.mask, 16)
      const texts = Array.from({ length: 256 }, (_, byte) => field.texts[(byte & mask).toString(16).padStart(2, '0')] ?? null)
      return (frame) => texts[read(frame)] ?? null
    }
    case 'rules': {
      const rules = field.rules.map(({ when, text }) => ({ holds: bitsTest(when), text }))
      const otherwise = field.otherwise ?? null
      return (frame) => {
        let found: string | null = null
        for (const { holds, text } of rules) {
          if (!holds(frame)) continue
          if (found !== null) return null
          found = text
        }
        return found ?? otherwise
      }
    }
  }
}
