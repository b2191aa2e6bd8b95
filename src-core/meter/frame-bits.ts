/** Where a bit or a byte stands in a frame: places may count from its end. */
import type { BitsAre } from './framing'

export type BitPlace = { byte: number; bit: number }

/** "3.7" is bit 7 of byte 3; the sign of "-1.0" belongs to the byte. */
export const bitPlace = (text: string): BitPlace => {
  const [byte = '', bit = ''] = text.split('.')
  return { byte: Number(byte), bit: Number(bit) }
}

/** A byte outside the frame is 0. */
export const byteReader = (at: number): { place: (frame: Uint8Array) => number; value: (frame: Uint8Array) => number } => (at >= 0
  ? { place: () => at, value: (frame) => frame[at] ?? 0 }
  : { place: (frame) => frame.length + at, value: (frame) => frame[frame.length + at] ?? 0 })

/** Whether all the bits are as given: one mask a byte, so that a rule costs as many looks as it names bytes. */
export const bitsTest = (bits: BitsAre): ((frame: Uint8Array) => boolean) => {
  const masks = new Map<number, { mask: number; is: number }>()
  for (const [text, value] of Object.entries(bits)) {
    const { byte, bit } = bitPlace(text)
    const { mask, is } = masks.get(byte) ?? { mask: 0, is: 0 }
    masks.set(byte, { mask: mask | (1 << bit), is: is | (value << bit) })
  }
  const each = [...masks].map(([byte, { mask, is }]) => ({ read: byteReader(byte).value, mask, is }))
  const [only] = each
  if (each.length === 1 && only !== undefined) return (frame) => (only.read(frame) & only.mask) === only.is
  return (frame) => {
    for (const { read, mask, is } of each) if ((read(frame) & mask) !== is) return false
    return true
  }
}
