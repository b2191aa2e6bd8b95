import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { lineDecoder } from '../../../src-core/meter/decode-line'
import { linesOf } from '../../../src-core/meter/framing'
import { meterDescription, type MeterDescription } from '../../../src-core/meter/description'
import { reading } from '../../../src-core/meter/reading'
import { seconds } from '../../../src-core/quantity/units'

const described = (name: string): MeterDescription =>
  meterDescription.parse(JSON.parse(readFileSync(new URL(`../../../fixtures/meters/${name}.json`, import.meta.url), 'utf8')))
const a = described('line-meter-a')
const b = described('line-meter-b')
const at = seconds(12.5)
const fromA = lineDecoder(a)
const fromB = lineDecoder(b)
const hexOf = (line: string): string => Buffer.from(line, 'latin1').toString('hex')
const rejected = { reject: expect.any(String) as string }

describe('one line of line meter A', () => {
  it('is a reading in SI, with the resolution of its last digit and its full scale', () => {
    expect(fromA('RES 4.700 kOhm A', at)).toEqual({
      at, function: 'resistance', value: 4700, unit: 'Ω', resolution: 1, range: 6000, flags: ['auto-range'],
      raw: `${hexOf('RES 4.700 kOhm A')}0d0a`,
    })
    expect(fromA('DCV -0.3 mV M', at)).toMatchObject({
      function: 'dc-voltage', value: -0.0003, resolution: 0.0001, range: 0.6, flags: ['manual-range'],
    })
    expect(fromA('DIODE 0.612 V', at)).toMatchObject({ function: 'diode', value: 0.612, resolution: 0.001, range: 6, flags: [] })
    expect(fromA('CAP 100.0 nF AH', at)).toMatchObject({ value: 1e-7, resolution: 1e-10, range: 6e-7, flags: ['auto-range', 'hold'] })
  })

  it('is the same as bytes', () => {
    expect(fromA(Buffer.from('RES 220.4 Ohm A', 'latin1'), at)).toEqual(fromA('RES 220.4 Ohm A', at))
  })

  it('is an overload with no resolution and no range', () => {
    expect(fromA('RES OL MOhm A', at)).toMatchObject({ value: 'overload', resolution: null, range: null })
    expect(fromA('DCV -OL V A', at)).toMatchObject({ value: 'negative-overload', resolution: null })
  })

  it('is rejected when function and unit do not belong together', () => {
    expect(fromA('RES 220.4 V A', at)).toEqual({ reject: 'the unit "V" does not belong to resistance' })
    expect(fromA('DCV 1.000 Ohm A', at)).toEqual({ reject: 'the unit "Ohm" does not belong to dc-voltage' })
  })

  it('is rejected when the function is none of the description, even a word every object knows', () => {
    for (const word of ['ABC', 'TEMP']) {
      expect(fromA(`${word} 1.000 V`, at)).toEqual({ reject: `the function "${word}" is not in the description` })
    }
    const anyWord = lineDecoder({ ...a, pattern: '^(?<function>\\w+) (?<value>.*)$' })
    for (const word of ['constructor', '__proto__', 'toString']) expect(anyWord(`${word} 1`, at)).toEqual(rejected)
  })

  it('is rejected when the figure is more than the display can show: a digit sent twice is no reading', () => {
    const loose = lineDecoder({ ...a, pattern: a.pattern?.replace('\\d{1,4}', '\\d+') })
    expect(loose('RES 220.4 Ohm A', at)).toMatchObject({ value: 220.4 })
    expect(loose('RES 2200.4 Ohm A', at)).toEqual({ reject: 'the value "2200.4" is more than 6000 counts' })
  })

  it('is rejected when blank, cut, run together or full of noise', () => {
    for (const line of ['', ' ', 'RES', 'RES  Ohm A', 'ES 220.4 Ohm A', 'RES 22', 'RES 220.4 Ohm ARES 220.4 Ohm A',
      '\u0000', '\u00ff'.repeat(60), 'RES 220.4 Ohm A\u0000', 'RES 1.2.3 Ohm', 'RES NaN Ohm', 'RES - Ohm', 'x'.repeat(65)]) {
      expect(fromA(line, at)).toEqual(rejected)
    }
  })

  it('is never a negative zero', () => {
    expect(Object.is((fromA('DCV -0.000 V A', at) as { value: number }).value, 0)).toBe(true)
  })
})

describe('one line of line meter B', () => {
  it('is a reading in SI', () => {
    expect(fromB('+220.43;O;RO;a-----', at)).toMatchObject({
      function: 'resistance', value: 220.43, unit: 'Ω', resolution: 0.01, range: 500,
    })
    expect(fromB('-04.217;mV;VD;m-h--b', at)).toMatchObject({
      value: -0.004217, resolution: 1e-6, flags: ['manual-range', 'hold', 'low-battery'],
    })
    expect(fromB('+>>>>>>;MO;RO;a-----', at)).toMatchObject({ value: 'overload', resolution: null })
    expect(fromB('->>>>>>;V;VD;a-----', at)).toMatchObject({ value: 'negative-overload' })
  })
  it('gives a temperature in kelvins: 0 °C is 273.15 K (SI Brochure, 9th edition, 2.3.1; from memory)', () => {
    expect(fromB('+000.00;C;TC;a-----', at)).toMatchObject({ function: 'temperature', value: 273.15, unit: 'K', resolution: 0.01 })
    expect(fromB('+023.50;C;TC;a-----', at)).toMatchObject({ value: 296.65 })
  })
  it('is rejected when its front is lost, as after opening the port in mid-line', () => {
    const whole = '+220.43;O;RO;a-----'
    for (let lost = 1; lost < whole.length; lost += 1) expect(fromB(whole.slice(lost), at)).toEqual(rejected)
  })
})

describe('what a description may leave out or add', () => {
  it('takes the unit from the function when the line sends none, but never for a temperature', () => {
    const bare = lineDecoder({ ...b, pattern: '^(?<function>[A-Z]{2}) (?<value>\\S+)$' })
    expect(bare('RO 47.5', at)).toMatchObject({ value: 47.5, unit: 'Ω' })
    expect(bare('TC 23.5', at)).toEqual({ reject: 'a temperature without its unit' })
  })
  it('takes full scale from a range field where there is one, with an overload too', () => {
    const ranged = lineDecoder({ ...a, pattern: '^(?<function>[A-Z]+) (?<value>\\S+) (?<range>\\S+)$' })
    expect(ranged('RES 220.4 600', at)).toMatchObject({ range: 600 })
    expect(ranged('RES OL 60M', at)).toMatchObject({ value: 'overload', range: 6e7 })
    expect(ranged('RES 220.4 wide', at)).toEqual({ reject: 'the range "wide" is not a figure' })
  })
  it('reads scientific figures with the resolution their digits have', () => {
    const scientific = lineDecoder({ ...a, pattern: '^(?<function>[A-Z]+) (?<value>\\S+)$' })
    expect(scientific('RES +2.204E+02', at)).toMatchObject({ value: 220.4, resolution: 0.1, range: 600 })
    expect(scientific('RES 1E99', at)).toEqual(rejected)
  })
  it('reads Ω sent as UTF-8 and µ sent as UTF-8 or Latin-1', () => {
    const pattern = '^(?<function>[A-Z]+) (?<value>\\S+) (?<prefix>[kµ]?)(?<unit>Ω|F)$'
    const symbols = lineDecoder({ ...a, pattern, prefixes: { k: 1e3, µ: 1e-6 } })
    const line = 'RES 4.700 kΩ'
    expect(symbols(Buffer.from(line, 'utf8'), at)).toMatchObject({ value: 4700, raw: `${Buffer.from(line, 'utf8').toString('hex')}0d0a` })
    for (const encoding of ['utf8', 'latin1'] as const) {
      expect(symbols(Buffer.from('CAP 47.00 µF', encoding), at)).toMatchObject({ value: 4.7e-5 })
    }
  })
  it('rejects a prefix that the description does not name', () => {
    const few = lineDecoder({ ...a, prefixes: { k: 1e3 } })
    expect(few('RES 1.000 MOhm', at)).toEqual({ reject: 'the prefix "M" is not in the description' })
  })
  it('asks for the whole line even when the pattern is not anchored', () => {
    const loose = lineDecoder({ ...a, pattern: '(?<function>RES) (?<value>[\\d.]+)' })
    expect(loose('RES 220.4', at)).toMatchObject({ value: 220.4 })
    expect(loose('RES 220.4 V', at)).toEqual(rejected)
    expect(loose('xRES 220.4', at)).toEqual(rejected)
  })
})

describe('any bytes at all', () => {
  const matches = (d: MeterDescription, line: string): boolean => new RegExp(`^(?:${d.pattern})$`).test(line)
  const scraps = fc.constantFrom('RES', 'DCV', ' ', '220.4', '-', '.', 'OL', 'k', 'Ohm', 'V', 'A', ';', '+',
    '>>>>>>', 'RO', 'a-----', '\u00ff', '\u0000')
  const nearly = fc.array(scraps, { maxLength: 10 }).map((parts) => parts.join(''))
  const lines = fc.oneof(fc.uint8Array({ maxLength: 140 }), nearly.map((text) => new Uint8Array(Buffer.from(text, 'latin1'))))

  it('never throw, and make no reading without a match of the whole line; a reading keeps to its schema', () => {
    fc.assert(fc.property(lines, fc.constantFrom(a, b), (bytes, description) => {
      const result = lineDecoder(description)(bytes, at)
      if ('reject' in result) return
      expect(matches(description, Buffer.from(bytes).toString('latin1'))).toBe(true)
      expect(result.raw).toBe(Buffer.from(bytes).toString('hex') + linesOf(description).delimiter)
      expect(reading.parse(result)).toEqual(result)
    }), { numRuns: 3000 })
  })

  it('give back each display of meter B: counts, point and prefix', () => {
    const prefixes = [['', 0], ['k', 3], ['M', 6]] as const
    const shown = fc.tuple(fc.integer({ min: 0, max: 50000 }), fc.integer({ min: 1, max: 5 }), fc.constantFrom(...prefixes))
    fc.assert(fc.property(shown, ([counts, whole, [prefix, power]]) => {
      const digits = String(counts).padStart(5, '0')
      const line = `+${digits.slice(0, whole)}.${digits.slice(whole)};${prefix}O;RO;a-----`
      const last = power - (5 - whole)
      expect(fromB(line, at)).toMatchObject({ value: Number(`${counts}e${last}`), resolution: Number(`1e${last}`) })
    }))
  })
})
