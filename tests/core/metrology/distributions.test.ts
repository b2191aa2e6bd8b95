import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { incompleteBeta, lnGamma } from '../../../src-core/metrology/incomplete-beta'
import { normalDensity, normalQuantile, normalShare } from '../../../src-core/metrology/normal'
import { whereItReaches } from '../../../src-core/metrology/root'
import { studentFactor, studentQuantile, studentShare, varianceRatioTail } from '../../../src-core/metrology/student'

const share = fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true })

describe('the gamma function', () => {
  it('is (n − 1)! at whole numbers and √π at a half', () => {
    let factorial = 1
    for (let n = 1; n <= 30; n += 1) {
      expect(Math.abs(lnGamma(n) - Math.log(factorial))).toBeLessThan(1e-13 * (1 + Math.log(factorial)))
      factorial *= n
    }
    expect(lnGamma(0.5)).toBeCloseTo(Math.log(Math.PI) / 2, 14)
    expect(lnGamma(0.25) + lnGamma(0.75)).toBeCloseTo(Math.log(Math.PI * Math.SQRT2), 13)
  })
})

describe('the incomplete beta function', () => {
  it('is xᵃ for b = 1 and 1 − (1 − x)ᵇ for a = 1', () => {
    fc.assert(fc.property(share, fc.double({ min: 0.1, max: 50, noNaN: true }), (x, a) => {
      expect(Math.abs(incompleteBeta(x, a, 1) - x ** a)).toBeLessThan(1e-12)
      expect(Math.abs(incompleteBeta(x, 1, a) - (1 - (1 - x) ** a))).toBeLessThan(1e-12)
    }))
  })
  it('mirrors: I_x(a, b) + I_(1−x)(b, a) = 1', () => {
    const size = fc.double({ min: 0.5, max: 2000, noNaN: true })
    fc.assert(fc.property(share, size, size, (x, a, b) => { expect(incompleteBeta(x, a, b) + incompleteBeta(1 - x, b, a)).toBeCloseTo(1, 10) }))
  })
})

describe('the normal distribution', () => {
  it('rises as its density says, on both sides of where the series meets the tail', () => {
    for (const z of [-3.0005, -2.9995, -1, 0, 0.5, 2.9995, 3.0005, 5]) {
      const h = 1e-4
      expect((normalShare(z + h) - normalShare(z - h)) / (2 * h)).toBeCloseTo(normalDensity(z), 8)
    }
  })
  it('keeps small tails: Q(6) is 9.8659e-10, and mirrors', () => {
    // Q(6) from memory of common tables.
    expect(normalShare(-6) / 9.865876450377e-10).toBeCloseTo(1, 9)
    for (const z of [0.3, 1, 2.9, 3.1, 7]) expect(normalShare(z) + normalShare(-z)).toBeCloseTo(1, 14)
  })
  it('its quantile comes back', () => {
    fc.assert(fc.property(share, (p) => { expect(Math.abs(normalShare(normalQuantile(p)) - p)).toBeLessThan(1e-13) }))
  })
})

describe('Student’s t', () => {
  it('has closed forms for 1, 2 and 4 degrees of freedom', () => {
    fc.assert(fc.property(fc.double({ min: -40, max: 40, noNaN: true }), (t) => {
      expect(Math.abs(studentShare(t, 1) - (0.5 + Math.atan(t) / Math.PI))).toBeLessThan(1e-12)
      expect(Math.abs(studentShare(t, 2) - (0.5 + t / (2 * Math.sqrt(2 + t * t))))).toBeLessThan(1e-12)
      const s = t / Math.sqrt(4 + t * t)
      expect(Math.abs(studentShare(t, 4) - (0.5 + 0.75 * (s - s ** 3 / 3)))).toBeLessThan(1e-12)
    }))
    expect(studentFactor(0.95, 1)).toBeCloseTo(Math.tan(0.475 * Math.PI), 9)
    expect(studentFactor(0.95, 2)).toBeCloseTo(Math.sqrt(2) * 0.95 / Math.sqrt(1 - 0.95 ** 2), 10)
  })
  it('its quantile comes back to 1e-10, for few degrees and for many', () => {
    const degrees = fc.oneof(fc.double({ min: 0.8, max: 60, noNaN: true }), fc.integer({ min: 60, max: 20_000 }))
    fc.assert(fc.property(share, degrees, (p, v) => { expect(Math.abs(studentShare(studentQuantile(p, v), v) - p)).toBeLessThan(1e-10) }), { numRuns: 300 })
  })
  it('falls to the normal one, without a step where the expansion takes over', () => {
    expect(studentFactor(0.95, Infinity)).toBe(normalQuantile(0.975))
    for (const p of [0.8, 0.95, 0.999]) {
      const [before, after] = [studentFactor(p, 4_999.999), studentFactor(p, 5_000.001)]
      expect(before - after).toBeGreaterThan(0)
      expect(before - after).toBeLessThan(1e-8)
    }
  })
})

describe('the ratio of two variances', () => {
  it('is t squared for one degree above', () => {
    for (const [t, v] of [[0.5, 3], [2.228, 10], [3, 40]] as const) expect(varianceRatioTail(t * t, 1, v)).toBeCloseTo(2 * (1 - studentShare(t, v)), 12)
  })
})

describe('where a function reaches a value', () => {
  it('is found to the last digit, and refused outside', () => {
    expect(whereItReaches((x) => x ** 3, 2, 0, 5)).toBeCloseTo(Math.cbrt(2), 14)
    expect(() => whereItReaches((x) => x, 7, 0, 5)).toThrow(RangeError)
  })
})
