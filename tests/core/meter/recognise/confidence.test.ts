/** What makes a description sure, likely, or none; and what bytes at a wrong speed say of the right one. */
import { describe, expect, it } from 'vitest'
import { openReceiver } from '../../../../fixtures/line/receiver'
import { sent } from '../../../../fixtures/line/wire'
import { textHeardAt, type Heard } from '../../../../src-core/meter/recognise/outcome'
import { better, confidenceOf, type Candidate } from '../../../../src-core/meter/recognise/confidence'
import { openJudge } from '../../../../src-core/meter/recognise/judge'
import { formatOf, heardWith, plainFormat, readAgain, readingsOf } from '../../../../src-core/meter/recognise/line-format'
import { ordered, placesFor, usualSpeeds } from '../../../../src-core/meter/recognise/places'
import { speedHints, type SpeedHint } from '../../../../src-core/meter/recognise/speed-hint'
import { seconds } from '../../../../src-core/quantity/units'
import { described, framesOf, meterNames, shippedDescriptions, type MeterName } from './recorded'

const judged = (name: MeterName, bytes: Uint8Array) => {
  const own = formatOf(described[name].port)
  const judge = openJudge(described[name], own, own)
  judge.hear(bytes, seconds(0))
  return judge.score()
}
const joined = (...parts: Uint8Array[]): Uint8Array => Uint8Array.from(parts.flatMap((part) => [...part]))

describe('confidence', () => {
  it.each(meterNames)('of %s is sure from three whole frames on, the first and the last of the bytes cut', (name) => {
    const [a, b, c, d, e] = framesOf(name, 11)
    if (a === undefined || b === undefined || c === undefined || d === undefined || e === undefined) throw new Error('too few frames')
    expect(confidenceOf(judged(name, joined(a.slice(3), b, c, d, e.slice(0, -3))))).toBe('sure')
    expect(confidenceOf(judged(name, joined(a.slice(3), b, c, e.slice(0, -3))))).toBe('likely')
    expect(confidenceOf(judged(name, joined(a.slice(3), b, e.slice(0, -3))))).toBeNull()
  })

  it('sinks with the share of bytes that no frame explains', () => {
    const frames = framesOf('Packed meter C').slice(0, 12)
    const filled = (count: number) => joined(...frames.flatMap((frame) => [frame, new Uint8Array(count).fill(0x11)]))
    expect([0, 2, 6, 11].map((count) => confidenceOf(judged('Packed meter C', filled(count))))).toEqual(['sure', 'likely', 'perhaps', null])
  })

  it('of two that explain as much goes to the one whose own line format was heard', () => {
    const score = { readings: 3, rejects: 0, heard: 60, covered: 60, share: 1, surprise: 100, sample: null }
    const candidate = (description: string, own: boolean, share: number): Candidate =>
      ({ description, own, confidence: 'sure', settings: { baud: 9600, ...plainFormat }, score: { ...score, share } })
    expect([candidate('other', false, 1), candidate('own', true, 0.99)].sort(better)[0]?.description).toBe('own')
    expect([candidate('own', true, 0.91), candidate('other', false, 1)].sort(better)[0]?.description).toBe('other')
  })
})

describe('line formats', () => {
  it('of ten bits are heard with eight data bits, others with their own', () => {
    expect(heardWith({ dataBits: 7, parity: 'even', stopBits: 1 })).toEqual(plainFormat)
    expect(heardWith({ dataBits: 8, parity: 'none', stopBits: 2 })).toEqual(plainFormat)
    expect(heardWith({ dataBits: 8, parity: 'odd', stopBits: 1 })).toEqual({ dataBits: 8, parity: 'odd', stopBits: 1 })
    expect(heardWith({ dataBits: 7, parity: 'none', stopBits: 1 })).toEqual({ dataBits: 7, parity: 'none', stopBits: 1 })
  })
  it('with a parity bit are read again from eight bits', () => {
    const even = readAgain({ dataBits: 7, parity: 'even', stopBits: 1 }, plainFormat)
    expect([0xb1, 0x31, 0x33, 0xb3].map(even)).toEqual([0x31, null, 0x33, null])
    expect(readingsOf({ dataBits: 7, parity: 'even', stopBits: 1 }, plainFormat).map(({ dataBits, parity }) => `${dataBits} ${parity}`)).toEqual(['7 even', '8 none', '7 odd'])
  })
})

describe('a wrong speed', () => {
  const hintOf = (from: number, at: number, name: MeterName = 'Line meter A'): SpeedHint => {
    const own = formatOf(described[name].port)
    const { edges, free } = sent(joined(...framesOf(name, 20).slice(0, 6)), { baud: from, ...own }, 1)
    const heard = openReceiver({ baud: at, ...plainFormat }).take(edges, free + 1)
    const counts = new Uint32Array(256)
    for (const { byte } of heard) counts[byte] = (counts[byte] ?? 0) + 1
    return speedHints(at, usualSpeeds)(counts, heard.length, 0)
  }
  it('gives the slower speed away', () => {
    for (const name of ['Line meter A', 'Packed meter C', 'Mirror meter D'] as const) {
      expect(hintOf(1200, 9600, name)).toMatchObject({ kind: 'slower', speeds: [1200, expect.anything(), expect.anything()] as unknown[] })
      expect(hintOf(4800, 9600, name)).toMatchObject({ kind: 'slower', speeds: [4800] })
      expect(hintOf(19200, 115200, name)).toMatchObject({ kind: 'slower' })
    }
  })
  it('is not suspected where the speed is right', () => {
    for (const name of ['Line meter A', 'Line meter B', 'Packed meter C', 'Mirror meter D'] as const) expect(hintOf(9600, 9600, name).kind).toBe('not-slower')
  })
  it('changes the order in which places are tried, and leaves none out', () => {
    const places = placesFor(shippedDescriptions)
    const after = ordered(places, 9600, { kind: 'slower', speeds: [1200, 2400] })
    expect(after).toHaveLength(places.length)
    expect(after.slice(0, 2).map(({ baud }) => baud)).toEqual([1200, 1200])
    expect(ordered(places, 9600, { kind: 'faster' })[0]?.baud).toBe(115200)
  })
})

describe('where no description fits', () => {
  const place = (baud: number, bytes: number, printable: number): Heard => ({ baud, format: { dataBits: 7, parity: 'even', stopBits: 1 }, bytes, seconds: 1, printable })
  it('the settings at which the bytes look like text are handed on to teaching; without any such there are none', () => {
    expect(textHeardAt([place(9600, 40, 0.4), place(2400, 30, 0.97), place(1200, 8, 1)])).toEqual({ baud: 2400, dataBits: 7, parity: 'even', stopBits: 1 })
    expect(textHeardAt([place(9600, 40, 0.4)])).toBeNull()
    expect(textHeardAt([])).toBeNull()
  })
})
