/** The bytes as they arrive, one frame a row: what changed since the last display that was typed is marked. */
import { z } from 'zod'
import { bytesOfHex, type Example } from './example'
import { lastRound, type Heard } from './still-bytes'

const heardByte = z.strictObject({ hex: z.string(), text: z.string(), changed: z.boolean() })
export const heardView = z.strictObject({
  rows: z.array(z.array(heardByte)).max(16),
  /** The bytes repeat: the display stands still. */
  still: z.boolean(),
  /** Bytes so far. */
  bytes: z.number().int(),
})
export type HeardView = z.infer<typeof heardView>

const mostRows = 6
const widest = 16

const textOf = (byte: number): string => (byte === 32 ? '␣' : byte > 32 && byte < 127 ? String.fromCharCode(byte) : '·')

/** `cut`: how the frames are known to be cut; null while nothing is known of them. */
export type RowCut = { delimiter: string } | { length: number } | null

const rowsByEnd = (bytes: Uint8Array, delimiter: Uint8Array): Uint8Array[] => {
  const rows: Uint8Array[] = []
  let from = 0
  for (let at = 0; at + delimiter.length <= bytes.length; at += 1) {
    if (!delimiter.every((byte, index) => bytes[at + index] === byte)) continue
    rows.push(bytes.slice(from, at + delimiter.length))
    from = at + delimiter.length
    at = from - 1
  }
  return rows.slice(1)
}

/** Rows of one length, laid so that they are most like the one to compare with. */
const rowsByLength = (bytes: Uint8Array, length: number, like: Uint8Array | null): Uint8Array[] => {
  const phases = Array.from({ length: Math.min(length, bytes.length) }, (_, phase) => phase)
  const last = (phase: number): number => phase + Math.floor((bytes.length - phase) / length) * length - length
  const score = (phase: number): number => (like === null ? 0 : like.reduce((sum, byte, at) => sum + Number(bytes[last(phase) + at] === byte), 0))
  const phase = phases.reduce((best, each) => (score(each) > score(best) ? each : best), 0)
  const rows: Uint8Array[] = []
  for (let from = phase; from + length <= bytes.length; from += length) rows.push(bytes.slice(from, from + length))
  return rows
}

const joined = (heard: readonly Heard[]): Uint8Array => Uint8Array.from(heard.flatMap(({ bytes }) => [...bytes]))

export const heardRows = (heard: readonly Heard[], cut: RowCut, examples: readonly Example[], bytesSoFar: number): HeardView => {
  const round = lastRound(heard)
  const all = joined(heard)
  const last = examples.at(-1)
  const like = last === undefined ? null : bytesOfHex(last.round)
  const length = cut !== null && 'length' in cut ? cut.length : round?.bytes.length ?? widest
  const rows = cut !== null && 'delimiter' in cut ? rowsByEnd(all, bytesOfHex(cut.delimiter)) : rowsByLength(all, length, like ?? round?.bytes ?? null)
  const shown = rows.slice(-mostRows)
  const before = (index: number): Uint8Array | null => (cut === null && like !== null && like.length !== length ? null : like) ?? rows[rows.length - shown.length + index - 1] ?? null
  // A line's round may begin anywhere; it is compared from its own beginning.
  const compared = cut !== null && 'delimiter' in cut && like !== null ? rowsByEnd(Uint8Array.from([...like, ...like, ...like]), bytesOfHex(cut.delimiter))[0] ?? null : null
  return {
    rows: shown.map((row, index) => {
      const other = compared ?? before(index)
      return Array.from(row, (byte, at) => ({ hex: byte.toString(16).padStart(2, '0'), text: textOf(byte), changed: other !== null && other[at] !== byte }))
    }),
    still: round !== null, bytes: bytesSoFar,
  }
}
