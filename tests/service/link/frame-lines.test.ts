import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { seconds } from '../../../src-core/quantity/units'
import { frameLines } from '../../../src-main/service/link/frame-lines'

const nextTurn = (): Promise<void> => new Promise((resolve) => { setImmediate(resolve) })

type Heard = { lines: { line: string; at: number }[]; rejects: number[] }

/** Feeds chunks, the nth at n seconds. */
const hear = async (chunks: Uint8Array[], { delimiter = '0d0a', maxBytes = 16 } = {}): Promise<Heard> => {
  const heard: Heard = { lines: [], rejects: [] }
  const framer = frameLines({ kind: 'lines', delimiter, maxBytes }, {
    line: (line, at) => heard.lines.push({ line, at }), reject: (_why, at) => heard.rejects.push(at),
  })
  chunks.forEach((chunk, i) => { framer.feed(chunk, seconds(i)) })
  await nextTurn()
  framer.close()
  return heard
}
const bytes = (text: string): Buffer => Buffer.from(text, 'latin1')
const linesOf = (heard: Heard): string[] => heard.lines.map(({ line }) => line)

/** The rule said again, slowly: cut at each delimiter; a piece longer than the cap is one reject. */
const expected = (stream: string, delimiter: string, maxBytes: number): { lines: string[]; rejects: number } => {
  const pieces = stream.split(delimiter)
  const unended = pieces.pop() ?? ''
  return {
    lines: pieces.filter((piece) => piece.length <= maxBytes),
    rejects: pieces.filter((piece) => piece.length > maxBytes).length + (surelyTooLong(unended, delimiter, maxBytes) ? 1 : 0),
  }
}
/** The end of an unended piece may be the beginning of its delimiter; the rest is surely not. At any moment it was so, it was too long. */
const surelyTooLong = (unended: string, delimiter: string, maxBytes: number): boolean => {
  for (let length = 0; length <= unended.length; length += 1) {
    const so = unended.slice(0, length)
    let begun = Math.min(delimiter.length - 1, length)
    while (begun > 0 && !so.endsWith(delimiter.slice(0, begun))) begun -= 1
    if (length - begun > maxBytes) return true
  }
  return false
}

describe('bytes to lines', () => {
  it('stamps a line with the arrival of its last byte, the very first line too', async () => {
    const heard = await hear([bytes('RES 1'), bytes('\r'), bytes('\nRES 2\r\nRES 3'), bytes('\r\n')])
    expect(heard.lines).toEqual([{ line: 'RES 1', at: 2 }, { line: 'RES 2', at: 2 }, { line: 'RES 3', at: 3 }])
  })

  it('hands over a blank line, for the decoder to reject and count', async () => {
    expect(linesOf(await hear([bytes('\r\n\r\nA\r\n')]))).toEqual(['', '', 'A'])
  })

  it('keeps a line of exactly maxBytes and refuses one byte more', async () => {
    const heard = await hear([bytes(`${'x'.repeat(16)}\r\n${'y'.repeat(17)}\r\nz\r\n`)])
    expect(linesOf(heard)).toEqual(['x'.repeat(16), 'z'])
    expect(heard.rejects.length).toBe(1)
  })

  const floods = [['0xFF', 0xff], ['NUL', 0], ['the first byte of the delimiter', 13]] as const
  it.each(floods)('stays alive after a flood of %s: one reject, then readings', async (_name, byte) => {
    const flood = Array.from({ length: 3000 }, () => new Uint8Array(100).fill(byte))
    const heard = await hear([...flood, bytes('\nlost\r\nRES 1\r\n')])
    expect(heard.rejects.length).toBe(1)
    expect(linesOf(heard).at(-1)).toBe('RES 1')
  })

  it('counts a flood when it grows too long, not when it ends', async () => {
    expect((await hear([new Uint8Array(10).fill(255), new Uint8Array(10).fill(255)])).rejects).toEqual([1])
  })

  it('takes nothing after it is closed', async () => {
    const heard: string[] = []
    const framer = frameLines({ kind: 'lines', delimiter: '0a', maxBytes: 16 }, {
      line: (line) => heard.push(line), reject: () => undefined,
    })
    framer.close()
    framer.feed(bytes('A\n'), seconds(0))
    await nextTurn()
    expect(heard).toEqual([])
  })

  it('gives the same lines however the stream is cut, for any bytes and any delimiter', async () => {
    const delimiters = fc.constantFrom('\r\n', '\n', '\r\r', '\n\r\n', '\r\n\r\n', ';')
    const streams = fc.array(fc.oneof(
      fc.constantFrom('\r', '\n', '\r\n', ';', 'RES 1', '\u00ff\u0000'), fc.string({ maxLength: 6, unit: 'binary-ascii' }),
      fc.integer({ min: 1, max: 60 }).map((n) => 'q'.repeat(n)),
    ), { maxLength: 40 }).map((parts) => parts.join(''))
    const lengths = fc.array(fc.integer({ min: 1, max: 64 }), { minLength: 1 })
    await fc.assert(fc.asyncProperty(delimiters, streams, lengths, async (delimiter, stream, cuts) => {
      const whole = bytes(stream)
      const chunks: Uint8Array[] = []
      for (let at = 0, i = 0; at < whole.length; i += 1) {
        const length = cuts[i % cuts.length] ?? 1
        chunks.push(whole.subarray(at, at + length))
        at += length
      }
      const heard = await hear(chunks, { delimiter: bytes(delimiter).toString('hex') })
      const rule = expected(stream, delimiter, 16)
      expect(linesOf(heard)).toEqual(rule.lines)
      expect(heard.rejects.length).toBe(rule.rejects)
    }), { numRuns: 1000 })
  })

  it('holds no more than a line and a chunk in memory while a flood lasts', async () => {
    const framer = frameLines({ kind: 'lines', delimiter: '0d0a', maxBytes: 64 }, { line: () => undefined, reject: () => undefined })
    const flood = new Uint8Array(65536).fill(255)
    const before = process.memoryUsage().arrayBuffers
    for (let i = 0; i < 2000; i += 1) framer.feed(flood, seconds(i))
    await nextTurn()
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(20 * 65536)
    framer.close()
  })
})
