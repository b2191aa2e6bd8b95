/** The bits of the frames of all examples side by side: what each bit was at every display. */
import type { BitsAre } from '../framing'

/** One text of 0 and 1 a bit, one character an example; bit 3 of byte 2 stands at 2 × 8 + 3. */
export type Columns = readonly string[]

export const columnsOf = (frames: readonly Uint8Array[]): Columns =>
  Array.from({ length: (frames[0]?.length ?? 0) * 8 }, (_, index) => frames.map((frame) => (((frame[index >> 3] ?? 0) >> (index & 7)) & 1)).join(''))

export const bitName = (index: number): string => `${index >> 3}.${index & 7}`

export const isConstant = (column: string): boolean => !column.includes('0') || !column.includes('1')

/** What a bit would be at every example were it the thing asked about; null: not known there. */
export type Wanted = readonly (boolean | null)[]

export const fits = (column: string, wanted: Wanted): boolean => wanted.every((want, at) => want === null || (column[at] === '1') === want)

/** Whether the bit depends on nothing but the text at each example. */
export const dependsOnly = (column: string, texts: readonly (string | null)[]): boolean => {
  const seen = new Map<string, string>()
  for (const [at, text] of texts.entries()) {
    if (text === null) continue
    const bit = column[at] ?? ''
    const before = seen.get(text)
    if (before === undefined) seen.set(text, bit)
    else if (before !== bit) return false
  }
  return true
}

/** The bits as they were at one example. */
export const bitsAt = (columns: Columns, bits: readonly number[], example: number): BitsAre =>
  Object.fromEntries(bits.map((bit) => [bitName(bit), columns[bit]?.[example] === '1' ? 1 : 0] as const))
