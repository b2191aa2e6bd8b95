import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { chiSquareTail } from '../../../src-core/metrology/incomplete-gamma'
import { normalQuantile, normalShare } from '../../../src-core/metrology/normal'
import { summaryOf } from '../../../src-core/metrology/summary'
import { toleranceFactor } from '../../../src-core/metrology/tolerance-factor'
import { shareOf } from '../../../src-core/shop/binomial'
import { capabilityOf } from '../../../src-core/shop/capability'
import { individualsChart } from '../../../src-core/shop/individuals-chart'
import { chiSquareQuantile, howeFactor } from './howe'

describe('a summary', () => {
  it('needs a figure, and all of them finite', () => {
    expect(() => summaryOf([])).toThrow(RangeError)
    expect(() => summaryOf([1, Infinity])).toThrow(RangeError)
    expect(summaryOf([4700])).toEqual({ count: 1, mean: 4700, sd: null })
  })
  it('moves and stretches with its figures, also where they reach over more digits than a double has', () => {
    fc.assert(fc.property(fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength: 2, maxLength: 40 }), (figures) => {
      const [plain, doubled] = [summaryOf(figures), summaryOf(figures.map((x) => 2 * x))]
      expect(doubled.mean).toBeCloseTo(2 * plain.mean, 6)
      expect(doubled.sd).toBeCloseTo(2 * (plain.sd ?? NaN), 6)
      expect(plain.mean).toBeGreaterThanOrEqual(Math.min(...figures) - 1e-9)
      expect(plain.mean).toBeLessThanOrEqual(Math.max(...figures) + 1e-9)
    }))
  })
  it('holds picofarads and megohms alike', () => {
    expect(summaryOf([4.7e-11, 4.8e-11]).mean).toBeCloseTo(4.75e-11, 22)
    expect(summaryOf([2e7, 2e7, 2e7])).toEqual({ count: 3, mean: 2e7, sd: 0 })
  })
})

describe('the chi-square distribution', () => {
  it('has closed forms for one, two and four degrees', () => {
    fc.assert(fc.property(fc.double({ min: 1e-3, max: 60, noNaN: true }), (x) => {
      expect(chiSquareTail(x, 1)).toBeCloseTo(2 * (1 - normalShare(Math.sqrt(x))), 12)
      expect(chiSquareTail(x, 2)).toBeCloseTo(Math.exp(-x / 2), 13)
      expect(chiSquareTail(x, 4)).toBeCloseTo((1 + x / 2) * Math.exp(-x / 2), 13)
    }))
  })
  it('its quantile comes back', () => {
    fc.assert(fc.property(fc.double({ min: 1e-3, max: 0.999, noNaN: true }), fc.integer({ min: 1, max: 400 }), (p, degrees) => {
      expect(1 - chiSquareTail(chiSquareQuantile(p, degrees), degrees)).toBeCloseTo(p, 10)
    }))
  })
})

describe('the factor of a tolerance interval', () => {
  it('with two units and one side has the closed form of the t distribution at a share of one half', () => {
    // share 0.5: k·√n is Student’s t; one degree of freedom: tan(π(confidence − 0.5)).
    expect(toleranceFactor(2, { share: 0.5, confidence: 0.9, sides: 1 })).toBeCloseTo(Math.tan(0.4 * Math.PI) / Math.SQRT2, 6)
  })
  it('falls to the quantile as the units grow, and Howe’s approximation lies close from ten units on', () => {
    for (const n of [10, 30, 200]) {
      const of = { share: 0.95, confidence: 0.95, sides: 2 } as const
      expect(Math.abs(toleranceFactor(n, of) / howeFactor(n, of) - 1)).toBeLessThan(0.01)
    }
    expect(toleranceFactor(100_000, { share: 0.95, confidence: 0.95, sides: 2 })).toBeCloseTo(normalQuantile(0.975), 1)
    expect(() => toleranceFactor(1, { share: 0.95, confidence: 0.95, sides: 2 })).toThrow(RangeError)
  })
  it('holds the share as often as it says', () => {
    const random = seededRandom(71)
    const drawn = (): number => normalQuantile(Math.min(Math.max(random(), 1e-12), 1 - 1e-12))
    const k = toleranceFactor(6, { share: 0.9, confidence: 0.9, sides: 2 })
    const rounds = 2000
    const held = Array.from({ length: rounds }, () => summaryOf(Array.from({ length: 6 }, drawn)))
      .filter(({ mean, sd }) => normalShare(mean + k * (sd ?? 0)) - normalShare(mean - k * (sd ?? 0)) >= 0.9).length
    expect(held / rounds).toBeGreaterThan(0.875)
    expect(held / rounds).toBeLessThan(0.925)
  })
})

describe('an exact share', () => {
  it('says nothing of no cases, and mirrors', () => {
    expect(shareOf(0, 0)).toEqual({ count: 0, of: 0, low: 0, high: 1 })
    const [one, other] = [shareOf(3, 17), shareOf(14, 17)]
    expect(one.low).toBeCloseTo(1 - other.high, 12)
    expect(one.high).toBeCloseTo(1 - other.low, 12)
  })
  it('narrows as cases come', () => {
    const widths = [10, 100, 1000].map((of) => { const { low, high } = shareOf(of / 10, of); return high - low })
    expect(widths[0]).toBeGreaterThan(widths[1] ?? 0)
    expect(widths[1]).toBeGreaterThan(widths[2] ?? 0)
  })
})

describe('capability', () => {
  it('needs a limit and a scatter, and with one limit has no Cp', () => {
    expect(capabilityOf({ count: 9, mean: 1, sd: 0 }, { low: 0, high: 2 })).toBeNull()
    expect(capabilityOf({ count: 9, mean: 1, sd: 0.1 }, { low: null, high: null })).toBeNull()
    const found = capabilityOf({ count: 9, mean: 1, sd: 0.1 }, { low: null, high: 1.6 })
    expect(found?.cp).toBeNull()
    expect(found?.cpk).toBeCloseTo(2, 12)
    expect(found?.cpkLow).toBeLessThan(2)
  })
})

describe('the chart of individuals', () => {
  it('tells a value beyond its limits, and eight in a row on one side', () => {
    const quiet = [10, 10.1, 9.9, 10, 10.1, 9.9, 10, 10.1, 9.9]
    expect(individualsChart([...quiet, 12])?.signals.at(-1)).toBe('beyond-limits')
    const moved = individualsChart([10, 10.1, 10, 10.1, 10, 10.1, 10, 10.1, 10.3, 10.4, 10.3, 10.4, 10.3, 10.4, 10.3, 10.4])
    expect(moved?.signals.at(-1)).toBe('one-side')
    expect(moved?.signals.slice(0, 7).every((one) => one === null)).toBe(true)
  })
  it('keeps still over a meter that shows one figure', () => {
    expect(individualsChart([0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1])?.signals.every((one) => one === null)).toBe(true)
    expect(individualsChart([1])).toBeNull()
  })
})
