/** What a meter repeats while its display stands still, found in bytes cut at random places. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { findCheck } from '../../../../src-core/meter/teach/find-check'
import { findFraming } from '../../../../src-core/meter/teach/find-framing'
import { hexOfBytes } from '../../../../src-core/meter/teach/example'
import { lastRound, turned, type Heard } from '../../../../src-core/meter/teach/still-bytes'
import { seededRandom } from '../../../../src-core/circuit/seeded-random'

const seed = 20261

const ofOneByte = (frame: readonly number[]): boolean => frame.every((byte) => byte === frame[0])
/** A frame that is itself made of repeats has a shorter round. */
const isRound = (frame: readonly number[]): boolean => !ofOneByte(frame) && !Array.from({ length: frame.length - 1 }, (_, k) => k + 1)
  .some((period) => frame.length % period === 0 && frame.every((byte, at) => byte === frame[at % period]))
const frames = fc.array(fc.integer({ min: 0, max: 255 }), { minLength: 4, maxLength: 40 }).filter(isRound)

describe('the bytes of a display that stands still', () => {
  test('with pauses between frames the round is the frame itself, whatever was shown before', () => {
    fc.assert(fc.property(frames, frames, (before, now) => {
      const heard: Heard[] = [...Array.from({ length: 4 }, () => before), ...Array.from({ length: 6 }, () => now)].map((frame, k) => ({ at: k * 0.3, bytes: Uint8Array.from(frame) }))
      const round = lastRound(heard)
      expect(round && hexOfBytes(round.bytes)).toBe(hexOfBytes(Uint8Array.from(now)))
      expect(round?.begins).toBe(true)
    }), { seed, numRuns: 200 })
  })
  test('without pauses it is the frame, begun anywhere', () => {
    fc.assert(fc.property(frames, fc.integer({ min: 0, max: 39 }), fc.integer({ min: 1, max: 9 }), (frame, from, step) => {
      const all = Uint8Array.from(Array.from({ length: 8 }, () => frame).flat()).slice(from % frame.length)
      const heard: Heard[] = []
      for (let at = 0; at < all.length; at += step) heard.push({ at: at * 0.001, bytes: all.slice(at, at + step) })
      const round = lastRound(heard)
      const turns = frame.map((_, by) => hexOfBytes(turned(Uint8Array.from(frame), by)))
      expect(turns).toContain(round && hexOfBytes(round.bytes))
    }), { seed, numRuns: 200 })
  })
  test('a display that changes, and two frames alike only, are no round', () => {
    const changing = Array.from({ length: 8 }, (_, k) => ({ at: k * 0.3, bytes: Uint8Array.of(0xaa, k, 17 * k, 3 * k + 1, 0x55) }))
    expect(lastRound(changing)).toBeNull()
    expect(lastRound([1, 2].map((at) => ({ at, bytes: Uint8Array.of(0xaa, 1, 2, 3, 0x55) })))).toBeNull()
    expect(lastRound([])).toBeNull()
  })
})

const exampleOf = (bytes: readonly number[], begins = true) => ({ round: hexOfBytes(Uint8Array.from(bytes)), begins, shown: { function: 'resistance' as const, text: '1', mark: '', flags: [] } })

describe('framing', () => {
  test('lines that begin anywhere in the round are cut at what ends them', () => {
    const cut = findFraming(['RES 1.234\r\n', '-2.3\r\nRES ', '\nDCV 0.5\r'].map((text) => exampleOf([...text].map((c) => c.charCodeAt(0)), false)))
    expect(cut).toMatchObject({ kind: 'lines', delimiter: '0d0a' })
    expect(cut.kind === 'lines' && cut.lines.map((line) => String.fromCharCode(...line))).toEqual(['RES 1.234', 'RES -2.3', 'DCV 0.5'])
  })
  test('bytes whose first halves count are turned to the first', () => {
    const cut = findFraming([exampleOf([0x33, 0x41, 0x57, 0x10, 0x2f], false), exampleOf([0x11, 0x22, 0x30, 0x45, 0x50], false)])
    expect(cut).toMatchObject({ kind: 'frames', indexed: 1 })
    expect(cut.kind === 'frames' && cut.frames.map(hexOfBytes)).toEqual(['102f334157', '1122304550'])
  })
  test('frames of changing length that are no lines are said to be beyond teaching here', () => {
    expect(findFraming([exampleOf([0x80, 1, 2, 3]), exampleOf([0x80, 1, 2, 3, 4])])).toMatchObject({ kind: 'none' })
  })
})

describe('the search for a check value', () => {
  const random = seededRandom(7)
  const noise = Array.from({ length: 30 }, () => Uint8Array.from({ length: 9 }, () => Math.floor(random() * 256)))
  test('finds none in noise, nor in too few frames', () => {
    expect(findCheck(noise)).toBeNull()
    const summed = noise.slice(0, 3).map((frame) => Uint8Array.from([...frame, frame.reduce((sum, byte) => sum + byte, 0) & 0xff]))
    expect(findCheck(summed)).toBeNull()
  })
  test('finds a sum, and a 16-bit CRC of the usual polynomial before an end byte', () => {
    const summed = noise.slice(0, 8).map((frame) => Uint8Array.from([...frame, frame.reduce((sum, byte) => sum + byte, 0) & 0xff]))
    expect(findCheck(summed)?.check).toMatchObject({ kind: 'sum', bits: 8, from: 0, to: 8, at: 9 })
    // CRC-16/XMODEM bit by bit: polynomial 1021, register 0 (its check value of "123456789" is 31c3 in the catalogue of CRCs; from memory).
    const crc = (bytes: Iterable<number>): number => {
      let rest = 0
      for (const byte of bytes) for (let bit = 7; bit >= 0; bit -= 1) {
        const out = ((rest >> 15) & 1) ^ ((byte >> bit) & 1)
        rest = (rest << 1) & 0xffff
        if (out === 1) rest ^= 0x1021
      }
      return rest
    }
    expect(crc([...'123456789'].map((c) => c.charCodeAt(0)))).toBe(0x31c3)
    const framed = noise.slice(0, 8).map((frame) => Uint8Array.from([...frame, crc(frame) >> 8, crc(frame) & 0xff, 0x0d]))
    expect(findCheck(framed)?.check).toMatchObject({ kind: 'crc', bits: 16, polynomial: '1021', initial: '0000', from: 0, to: 8, at: 9, order: 'high-first' })
  })
})
