import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { reported } from '../../../src-core/metrology/rounding'

describe('a value as a report states it', () => {
  it.each<[number, number, Parameters<typeof reported>[2], string]>([
    [221.4372, 1.2849, 'Ω', '(221.4 ± 1.3) Ω'],
    [4702.6, 31.8, 'Ω', '(4.703 ± 0.032) kΩ'],
    [0.61234, 0.00417, 'V', '(612.3 ± 4.2) mV'],
    [1.04e-7, 2.3e-9, 'F', '(104.0 ± 2.3) nF'],
    [-0.0021, 0.0104, 'V', '(\u22122 ± 10) mV'],
    [0.04, 0.061, 'Ω', '(40 ± 61) mΩ'],
    [0.0004, 0.061, 'Ω', '(0 ± 61) mΩ'],
    [1234567, 123456, 'Ω', '(1.23 ± 0.12) MΩ'],
    [220, 9.96, 'Ω', '(220 ± 10) Ω'], [220, 9.95, 'Ω', '(220 ± 10) Ω'],
    [12.25, 1, 'V', '(12.3 ± 1.0) V'], [-12.25, 1, 'V', '(\u221212.3 ± 1.0) V'],
    [220, 99.6, 'Ω', '(0.22 ± 0.10) kΩ'],
  ])('%d ± %d %s: %s', (value, U, unit, words) => {
    expect(reported(value, U, unit).words).toBe(words)
  })
  it('rounds both to the same place, U to two digits, neither by more than half of it; and never takes 5 % from U', () => {
    fc.assert(fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), fc.double({ min: 1e-3, max: 1e5, noNaN: true }), (value, U) => {
      const found = reported(value, U, 'Ω')
      const unit = 10 ** found.last
      expect(Number(U.toExponential(1))).toBeCloseTo(found.U, 12 - Math.ceil(Math.log10(found.U + 1)))
      expect(Math.abs(found.value - value)).toBeLessThanOrEqual(unit / 2 * (1 + 1e-6))
      expect(Math.abs(found.value / unit - Math.round(found.value / unit))).toBeLessThan(1e-6)
      expect(found.U).toBeGreaterThan(0.95 * U)
    }))
  })
  it('refuses what is no value', () => {
    expect(() => reported(NaN, 1, 'V')).toThrow(RangeError)
    expect(() => reported(1, 0, 'V')).toThrow(RangeError)
  })
})
