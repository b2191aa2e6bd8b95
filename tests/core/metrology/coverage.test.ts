import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../../fixtures/touches/random'
import { boundedShare, boundedUncertainty, type Bounded } from '../../../src-core/metrology/bounded-sum'
import { budgetOf } from '../../../src-core/metrology/budget'
import { contribution, standardUncertainty, type Component, type Spread } from '../../../src-core/metrology/component'
import { boundedFactor, coverageOf, effectiveDegrees, shareBelow } from '../../../src-core/metrology/coverage'
import { normalShare } from '../../../src-core/metrology/normal'
import { studentFactor } from '../../../src-core/metrology/student'

const part = (spread: Spread, degrees: number | null = null, sensitivity = 1): Component =>
  ({ what: spread.shape, from: 'test', kind: degrees === null ? 'B' : 'A', spread, sensitivity, degrees, unit: 'V' })
const normal = (standard: number, degrees: number | null = null): Component => part({ shape: 'normal', standard }, degrees)
const flat = (halfWidth: number): Component => part({ shape: 'rectangular', halfWidth })

describe('standard uncertainty of a spread', () => {
  const shapes: [Spread, Bounded][] = [
    [{ shape: 'rectangular', halfWidth: 3 }, { kind: 'rectangles', a: 3, b: 0 }],
    [{ shape: 'triangular', halfWidth: 3 }, { kind: 'rectangles', a: 1.5, b: 1.5 }],
    [{ shape: 'trapezoidal', halfWidth: 3, edge: 1 / 3 }, { kind: 'rectangles', a: 2, b: 1 }],
    [{ shape: 'u-shaped', halfWidth: 3 }, { kind: 'arc-sine', a: 3 }],
  ]
  it.each(shapes)('of %o is the root of its variance, integrated from its own distribution', (spread, bounded) => {
    const steps = 20_000
    let variance = 0
    for (let i = 0; i < steps; i += 1) {
      const [from, to] = [-3 + (6 * i) / steps, -3 + (6 * (i + 1)) / steps]
      variance += ((from + to) / 2) ** 2 * (boundedShare(to, bounded, 0) - boundedShare(from, bounded, 0))
    }
    expect(standardUncertainty(spread)).toBeCloseTo(Math.sqrt(variance), 4)
    expect(boundedUncertainty(bounded)).toBeCloseTo(standardUncertainty(spread), 12)
  })
  it('counts with the size of its sensitivity', () => {
    expect(contribution(part({ shape: 'normal', standard: 2 }, null, -0.5))).toBe(1)
  })
})

describe('a bounded part and a normal one together', () => {
  const bounded = fc.oneof(
    fc.tuple(fc.double({ min: 0.5, max: 2, noNaN: true }), fc.double({ min: 0.05, max: 1, noNaN: true })).map(([a, b]): Bounded => ({ kind: 'rectangles', a, b: a * b })),
    fc.double({ min: 0.5, max: 2, noNaN: true }).map((a): Bounded => ({ kind: 'rectangles', a, b: 0 })),
    fc.double({ min: 0.5, max: 2, noNaN: true }).map((a): Bounded => ({ kind: 'arc-sine', a })),
  )
  it('are what the integral over the one of the other gives', () => {
    fc.assert(fc.property(bounded, fc.double({ min: 0.1, max: 2, noNaN: true }), fc.double({ min: -4, max: 4, noNaN: true }), (of, rest, x) => {
      const steps = 4_000
      let sum = 0
      for (let i = 0; i < steps; i += 1) {
        const [from, to] = [-4 + (8 * i) / steps, -4 + (8 * (i + 1)) / steps]
        sum += normalShare((x - (from + to) / 2) / rest) * (boundedShare(to, of, 0) - boundedShare(from, of, 0))
      }
      expect(boundedShare(x, of, rest)).toBeCloseTo(sum, 4)
    }), { numRuns: 30 })
  })
  it('are the bounded one where the rest is nothing, and half at the middle', () => {
    fc.assert(fc.property(bounded, fc.double({ min: -3, max: 3, noNaN: true }), (of, x) => {
      expect(Math.abs(boundedShare(x, of, 1e-4) - boundedShare(x, of, 0))).toBeLessThan(of.kind === 'arc-sine' ? 0.01 : 1e-3)
      expect(boundedShare(0, of, 0.3)).toBeCloseTo(0.5, 10)
    }), { numRuns: 50 })
  })
})

describe('the coverage factor', () => {
  it('is Student’s t of the effective degrees of freedom, cut to a whole number, with no bounded part', () => {
    const found = coverageOf([normal(3, 7), normal(4, 12), normal(1)])
    const degrees = 26 ** 2 / (81 / 7 + 256 / 12)
    expect(effectiveDegrees([{ u: 3, degrees: 7 }, { u: 4, degrees: 12 }, { u: 1, degrees: Infinity }])).toBeCloseTo(degrees, 10)
    expect(found.by).toBe('student')
    expect(found.k).toBe(studentFactor(0.95, Math.floor(degrees)))
  })
  it('does not lose a whole degree of freedom to arithmetic: one part of 9 keeps 9', () => {
    for (const u of [0.1, 0.3, 0.7, 1e-7]) expect(coverageOf([normal(u, 9)]).k).toBe(studentFactor(0.95, 9))
  })
  it('is that of a bounded part alone as the rest falls to nothing', () => {
    const alone: [Component[], number][] = [
      [[flat(2)], 0.95 * Math.sqrt(3)], [[part({ shape: 'u-shaped', halfWidth: 2 })], Math.SQRT2 * Math.sin(0.475 * Math.PI)],
      [[part({ shape: 'triangular', halfWidth: 2 })], Math.sqrt(6) * (1 - Math.sqrt(0.05))],
      [[flat(2), flat(2)], Math.sqrt(6) * (1 - Math.sqrt(0.05))], [[flat(1), flat(2)], boundedFactor({ kind: 'rectangles', a: 2, b: 1 }, 0.95)],
    ]
    for (const [parts, k] of alone) {
      expect(coverageOf(parts).k).toBeCloseTo(k, 9)
      expect(coverageOf([...parts, normal(1e-4)]).k).toBeCloseTo(k, 3)
      expect(coverageOf(parts).by).toBe('dominated')
    }
  })
  it('says which part dominates, up to a rest of 0.3 of it, and what its own factor is', () => {
    const u = 1 / Math.sqrt(3)
    expect(coverageOf([flat(1), normal(0.299 * u)])).toMatchObject({ by: 'dominated', part: { what: ['rectangular'], k: 0.95 * Math.sqrt(3) } })
    expect(coverageOf([flat(1), normal(0.301 * u)]).by).toBe('bounded')
    expect(coverageOf([flat(1), normal(2.01 * u)]).by).toBe('bounded')
    expect(coverageOf([flat(1), normal(51 * u)])).toMatchObject({ by: 'student', part: null })
    // A rest known from two readings may be far larger than it looks.
    expect(coverageOf([flat(1), normal(0.299 * u, 1)]).by).toBe('bounded')
  })
  it('counts a second rectangle with its own shape, but names it only from a quarter of the first', () => {
    for (const b of [0.03, 0.1, 0.24, 0.26, 0.7, 1]) {
      const found = coverageOf([flat(1), flat(b)])
      const edge = (1 - b) / (1 + b)
      // The exact bounds of a trapezoid, from its area beyond them.
      const U = 0.95 / 1.05 < edge ? 0.95 : (1 + b) * (1 - Math.sqrt(0.05 * (1 - edge ** 2)))
      expect(found.k * Math.sqrt((1 + b * b) / 3)).toBeCloseTo(U, 9)
      expect(found.part?.what).toHaveLength(b < 0.25 ? 1 : 2)
    }
  })
  it('covers what it says in its own spread', () => {
    const width = fc.double({ min: 0.01, max: 5, noNaN: true })
    fc.assert(fc.property(width, width, width, fc.integer({ min: 2, max: 50 }), (a, b, s, degrees) => {
      const budget = budgetOf([flat(a), flat(b), normal(s, degrees)], { value: 0, unit: 'V', basis: 'budget', remarks: [] })
      const { spread } = budget.coverage
      expect(shareBelow(spread, budget.U) - shareBelow(spread, -budget.U)).toBeCloseTo(0.95, 9)
    }))
  })
  it.each([2, 3, 4, 5, 8, 10, 20, 50, 200, null])('rises without a jump from the factor of a rectangle to the t of a rest of %s degrees of freedom', (degrees) => {
    const u = 1 / Math.sqrt(3)
    const ratios = Array.from({ length: 400 }, (_, i) => 0.01 * 1.025 ** i)
    const factors = ratios.map((ratio) => coverageOf([flat(1), normal(ratio * u, degrees)]).k)
    const steps = factors.slice(1).map((k, i) => k - (factors[i] ?? NaN))
    // Normal and rectangle together pass a little above 1.96 on their way to it.
    expect(Math.min(...steps)).toBeGreaterThan(-0.001)
    expect(Math.max(...steps)).toBeLessThan(0.03 * studentFactor(0.95, degrees ?? Infinity))
    expect(factors[0]).toBeCloseTo(0.95 * Math.sqrt(3), 2)
    expect(factors.at(-1)).toBeCloseTo(studentFactor(0.95, degrees ?? Infinity), 4)
  })
  it('is the same on both sides of where the shape of the bounded part no longer matters', () => {
    for (const degrees of [2, 5, 20, null]) {
      const [below, above] = [0.019_999, 0.020_001].map((share) => coverageOf([flat(share * Math.sqrt(3)), normal(1, degrees)]).k)
      expect(Math.abs((below ?? NaN) - (above ?? NaN))).toBeLessThan(1e-5)
    }
  })
})

describe('what JCGM 100 promises with few degrees of freedom', () => {
  it('holds: of 4,000 bench values with scatter known from 4 and 9 degrees, 95 % lie within their own U', () => {
    const random = seededRandom(20_601)
    const estimated = (sigma: number, degrees: number): number => {
      let squares = 0
      for (let i = 0; i < degrees; i += 1) squares += random.normal() ** 2
      return sigma * Math.sqrt(squares / degrees)
    }
    const trials = 4_000
    let within = 0
    for (let i = 0; i < trials; i += 1) {
      const error = 1.5 * random.normal() + random.normal() + 0.8 * random.normal()
      const { U } = budgetOf([normal(estimated(1.5, 4), 4), normal(estimated(1, 9), 9), normal(0.8)], { value: 0, unit: 'V', basis: 'budget', remarks: [] })
      if (Math.abs(error) <= U) within += 1
    }
    // Three standard deviations of 4,000 trials are 1 %; the formula itself is good to about 1 % (common practice, no source).
    expect(Math.abs(within / trials - 0.95)).toBeLessThan(0.02)
  })
})
