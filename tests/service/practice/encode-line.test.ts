import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { lineDecoder } from '../../../src-core/meter/decode-line'
import { linesOf } from '../../../src-core/meter/framing'
import { seconds } from '../../../src-core/quantity/units'
import { lineEncoder } from '../../../src-main/service/practice/encode-line'
import { shippedDescription } from './shipped'

const text = (bytes: Uint8Array): string => Buffer.from(bytes).toString('latin1')

describe('a line of Line meter A', () => {
  const encode = lineEncoder(shippedDescription('line-meter-a.json'))
  it('carries function, figure, prefix, unit and flag', () => {
    expect(text(encode({ function: 'resistance', value: 221.4, range: 600 }))).toBe('RES 221.4 Ohm A\r\n')
    expect(text(encode({ function: 'resistance', value: 5450, range: 6000 }))).toBe('RES 5.450 kOhm A\r\n')
    expect(text(encode({ function: 'dc-voltage', value: -0.0004, range: 0.6 }))).toBe('DCV -0.4 mV A\r\n')
    expect(text(encode({ function: 'diode', value: 'overload', range: 6 }))).toBe('DIODE OL V A\r\n')
  })
  it('shows no minus before zero', () => expect(text(encode({ function: 'dc-voltage', value: -0.00001,
    range: 0.6 }))).toBe('DCV 0.0 mV A\r\n'))
})

describe('a line of Line meter B', () => {
  it('is signed and filled up', () => {
    const encode = lineEncoder(shippedDescription('line-meter-b.json'))
    expect(text(encode({ function: 'resistance', value: 221.4, range: 500 }))).toBe('+221.40;O;RO;a-----\r')
    expect(text(encode({ function: 'resistance', value: 'overload', range: 5e7 }))).toBe('+>>>>>>;MO;RO;a-----\r')
  })
})

it.each(['line-meter-a.json', 'line-meter-b.json'] as const)('%s: what is encoded decodes to the same value, to half a count', (file) => {
  const description = shippedDescription(file)
  const [encode, decode] = [lineEncoder(description), lineDecoder(description)]
  const functions = Object.values(description.functions).filter(({ is }) => is !== 'temperature' && is !== 'frequency')
  fc.assert(fc.property(fc.constantFrom(...functions), fc.nat(3), fc.double({ min: -1, max: 1, noNaN: true }),
    (described, decade, share) => {
    const range = described.lowestRange * 10 ** decade
    const value = range * share
    const bytes = encode({ function: described.is, value, range })
    const reading = decode(bytes.slice(0, bytes.length - linesOf(description).delimiter.length / 2), seconds(0))
    if ('reject' in reading) throw new Error(`${text(bytes)}: ${reading.reject}`)
    expect(reading.function).toBe(described.is)
    expect(Math.abs(Number(reading.value) - value)).toBeLessThanOrEqual((range / described.counts) * 0.5001)
    expect(reading.resolution).toBeCloseTo(range / described.counts, 15)
  }), { seed: 1, numRuns: 400 })
})
