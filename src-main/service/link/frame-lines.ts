/** From the bytes of a port to lines: @serialport/parser-readline behind a cap, so that no noise can fill the memory. */
import { ReadlineParser } from '@serialport/parser-readline'
import type { LineFraming } from '../../../src-core/meter/framing'
import type { Seconds } from '../../../src-core/quantity/units'

export type LineListener = {
  /**
   * A line without its delimiter, one character a byte (Latin-1), with the arrival of its last byte.
   * @param begun its beginning was surely heard.
   */
  line: (line: string, at: Seconds, begun: boolean) => void
  reject: (why: string, at: Seconds) => void
}
export type LineFramer = { feed: (chunk: Uint8Array, at: Seconds) => void; close: () => void }

/** For each byte, how much of the delimiter is matched after it (Knuth, Morris and Pratt), starting afresh after a whole one. */
const matchTable = (delimiter: Buffer): Uint8Array[] =>
  Array.from({ length: delimiter.length }, (_, matched) => {
    const next = new Uint8Array(256)
    for (let byte = 0; byte < 256; byte += 1) {
      const seen = Buffer.concat([delimiter.subarray(0, matched), Buffer.of(byte)])
      let length = seen.length
      while (length > 0 && !seen.subarray(seen.length - length).equals(delimiter.subarray(0, length))) length -= 1
      next[byte] = length
    }
    return next
  })

/** A line comes in one piece: the rest of one that stopped this many seconds ago will not come any more (common practice, no source). */
const staleAfter = 0.5

/**
 * The parser finds the lines; the guard before it counts bytes. More than `maxBytes` without a delimiter are one reject,
 * and everything up to the next delimiter is thrown away. A line is stamped with the time of the chunk its delimiter
 * ended in, whenever the parser hands it over.
 * @param live the bytes are a meter's as they come: the first may fall into the midst of a line, and so may those after a gap; what stood
 * before the gap is a reject.
 */
export const frameLines = (framing: LineFraming, listener: LineListener, live = false): LineFramer => {
  const delimiter = Buffer.from(framing.delimiter, 'hex')
  const table = matchTable(delimiter)
  const filler = Buffer.of([...Array(256).keys()].find((byte) => !delimiter.includes(byte)) ?? 0)
  const endOfDiscarded = Buffer.concat([filler, delimiter])
  const parser = new ReadlineParser({ delimiter, includeDelimiter: true, encoding: 'latin1' })

  const ended: { at: Seconds; dropped: boolean; begun: boolean }[] = []
  let read = 0
  let matched = 0
  let unended = 0
  let discarding = false
  let begun = !live
  let latest: Seconds | null = null
  let closed = false

  parser.on('data', (line: string) => {
    const end = ended[read]
    read += 1
    if (end === undefined) throw new Error('The line parser gave a line that the guard did not count.')
    if (read === ended.length) {
      ended.length = 0
      read = 0
    }
    if (!end.dropped) listener.line(line.slice(0, -delimiter.length), end.at, end.begun)
  })

  /** Ends what stands in the parser, as a line that is not handed on. */
  const drop = (at: Seconds): void => {
    ended.push({ at, dropped: true, begun })
    parser.write(endOfDiscarded)
  }

  const afterGap = (at: Seconds): void => {
    begun = false
    if (discarding || unended === 0 || matched > 0) return
    drop(at)
    unended = 0
    listener.reject('the rest of a line did not come', at)
  }

  const feed = (chunk: Uint8Array, at: Seconds): void => {
    if (closed || chunk.length === 0) return
    if (live && latest !== null && at - latest > staleAfter && (unended > 0 || discarding)) afterGap(at)
    latest = at
    let from = 0
    for (let i = 0; i < chunk.length; i += 1) {
      matched = table[matched]?.[chunk[i] ?? 0] ?? 0
      unended += 1
      if (matched === delimiter.length) {
        if (discarding) {
          drop(at)
          from = i + 1
        } else ended.push({ at, dropped: false, begun })
        discarding = false
        begun = true
        matched = 0
        unended = 0
      } else if (!discarding && unended - matched > framing.maxBytes) {
        parser.write(chunk.subarray(from, i + 1))
        discarding = true
        listener.reject(`more than ${framing.maxBytes} bytes without the end of a line`, at)
      }
    }
    if (!discarding && from < chunk.length) parser.write(from === 0 ? chunk : chunk.subarray(from))
  }

  const close = (): void => {
    closed = true
    parser.removeAllListeners('data')
    parser.destroy()
  }

  return { feed, close }
}
