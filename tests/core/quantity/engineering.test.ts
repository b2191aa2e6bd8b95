import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { engineering, inWords } from '../../../src-core/quantity/engineering'

const powers: Record<string, number> = { f: -15, p: -12, n: -9, µ: -6, m: -3, '': 0, k: 3, M: 6, G: 9, T: 12 }

/** Reads a figure back as SI, without the code under test. */
const readBack = ({ figure, prefix }: { figure: string; prefix: string }): number =>
  Number(`${figure.replace('\u2212', '-')}e${powers[prefix]}`)

const resolutions = fc.integer({ min: -14, max: 6 }).map((power) => Number(`1e${power}`))

describe('a value as the bench writes it', () => {
  it('keeps the digits of the display', () => {
    expect(inWords(4700, 'Ω', 10)).toBe('4.70 kΩ')
    expect(inWords(4700, 'Ω', 1)).toBe('4.700 kΩ')
    expect(inWords(0.612, 'V', 0.001)).toBe('0.612 V')
    expect(inWords(0.2204, 'V', 1e-4)).toBe('220.4 mV')
    expect(inWords(220.4, 'Ω', 0.1)).toBe('220.4 Ω')
    expect(inWords(1e-7, 'F', 1e-11)).toBe('100.00 nF')
    expect(inWords(4.7e-5, 'F', 1e-8)).toBe('47.00 µF')
    expect(inWords(2.2e6, 'Ω', 1000)).toBe('2.200 MΩ')
  })

  it('never invents a digit: 0.3 Ω read to a tenth is not 300 mΩ', () => {
    expect(inWords(0.3, 'Ω', 0.1)).toBe('0.3 Ω')
    expect(inWords(12000, 'Ω', 1000)).toBe('12 kΩ')
    expect(inWords(500, 'Ω', 100)).toBe('0.5 kΩ')
  })

  it('shows zero with the zeros the meter shows', () => {
    expect(inWords(0, 'V', 0.001)).toBe('0.000 V')
    expect(inWords(0, 'Ω', 0.1)).toBe('0.0 Ω')
    expect(inWords(0, 'V', 1e-4)).toBe('0.0 mV')
    expect(inWords(-0.0004, 'V', 0.001)).toBe('0.000 V')
  })

  it('moves the prefix when rounding does', () => {
    expect(inWords(999.96, 'Ω', 0.1)).toBe('1.0000 kΩ')
    expect(inWords(999960, 'Ω', 100)).toBe('1.0000 MΩ')
  })

  it('writes a true minus sign', () => {
    expect(inWords(-0.612, 'V', 0.001)).toBe('\u22120.612 V')
    expect(inWords('negative-overload', 'V', null)).toBe('\u2212OL')
    expect(inWords('overload', 'Ω', null)).toBe('OL')
  })

  it('with no resolution gives the shortest figure', () => {
    expect(inWords(209, 'Ω', null)).toBe('209 Ω')
    expect(inWords(200, 'Ω', null)).toBe('200 Ω')
    expect(inWords(4700 * 1.05, 'Ω', null)).toBe('4.935 kΩ')
    expect(inWords(5e-12, 'F', null)).toBe('5 pF')
    expect(inWords(0, 'V', null)).toBe('0 V')
  })

  it('refuses what no meter shows', () => {
    for (const value of [NaN, Infinity, -Infinity]) expect(() => engineering(value, 0.1)).toThrow(RangeError)
    for (const resolution of [0, -1, NaN, Infinity]) expect(() => engineering(1, resolution)).toThrow(RangeError)
  })

  it('read back, is within half a resolution of the value', () => {
    fc.assert(fc.property(fc.double({ min: -1e9, max: 1e9, noNaN: true }), resolutions, (value, resolution) => {
      const back = readBack(engineering(value, resolution))
      expect(Math.abs(back - value)).toBeLessThanOrEqual((resolution / 2) * (1 + 1e-9) + Math.abs(value) * 1e-15)
    }), { numRuns: 2000 })
  })

  it('gives back every display exactly: counts, point and prefix', () => {
    fc.assert(fc.property(fc.integer({ min: -60000, max: 60000 }), fc.integer({ min: -13, max: 4 }), (counts, power) => {
      const value = Number(`${counts}e${power}`)
      const written = engineering(value, Number(`1e${power}`))
      expect(readBack(written)).toBe(value === 0 ? 0 : value)
      const decimals = written.figure.split('.')[1]?.length ?? 0
      expect((powers[written.prefix] ?? NaN) - decimals).toBe(power)
    }), { numRuns: 2000 })
  })

  it('keeps one to three digits before the point, for any value above one count of a usual display', () => {
    fc.assert(fc.property(fc.integer({ min: 1000, max: 60000 }), fc.integer({ min: -13, max: 4 }), (counts, power) => {
      const { figure } = engineering(Number(`${counts}e${power}`), Number(`1e${power}`))
      expect(figure).toMatch(/^(0\.[1-9]\d{2}|[1-9]\d{0,2}(\.\d+)?)$/)
    }))
  })
})
