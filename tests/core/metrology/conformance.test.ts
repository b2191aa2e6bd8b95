import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { conformanceProbability, riskOf } from '../../../src-core/metrology/conformance'
import { coverageOf, type ValueSpread } from '../../../src-core/metrology/coverage'
import { decide } from '../../../src-core/metrology/decide'
import type { Limits } from '../../../src-core/metrology/limits'

const normal = (standard: number, degrees: number | null = null): ValueSpread => ({ kind: 'student', standard, degrees })
const flat = (a: number): ValueSpread => ({ kind: 'bounded', part: { kind: 'rectangles', a, b: 0 }, rest: 0 })

describe('conformance probability', () => {
  it('at a lone limit is a half, whatever the spread', () => {
    for (const spread of [normal(0.3), normal(0.3, 3), flat(2)]) {
      expect(conformanceProbability(10, spread, { lo: 10, hi: null })).toBeCloseTo(0.5, 12)
      expect(conformanceProbability(10, spread, { lo: null, hi: 10 })).toBeCloseTo(0.5, 12)
    }
  })
  it('with a rectangular spread is the share of it within the limits', () => {
    expect(conformanceProbability(10, flat(2), { lo: 9, hi: 11 })).toBeCloseTo(0.5, 12)
    expect(conformanceProbability(10, flat(2), { lo: 7.9, hi: null })).toBe(1)
    expect(conformanceProbability(10, flat(2), { lo: null, hi: 11 })).toBeCloseTo(0.75, 12)
  })
  it('is smaller with few degrees of freedom, well inside', () => {
    const limits = { lo: 8, hi: 12 }
    expect(conformanceProbability(10, normal(1, 4), limits)).toBeLessThan(conformanceProbability(10, normal(1), limits))
  })
  it('lies in 0 to 1, is 1 with no limits, and the two sides add up', () => {
    const x = fc.double({ min: -10, max: 10, noNaN: true })
    fc.assert(fc.property(x, x, fc.double({ min: 0.01, max: 5, noNaN: true }), fc.constantFrom(null, 2, 9), (value, limit, u, degrees) => {
      const spread = normal(u, degrees)
      const [above, below] = [conformanceProbability(value, spread, { lo: limit, hi: null }), conformanceProbability(value, spread, { lo: null, hi: limit })]
      expect(above + below).toBeCloseTo(1, 10)
      expect(Math.min(above, below)).toBeGreaterThanOrEqual(0)
      expect(conformanceProbability(value, spread, { lo: null, hi: null })).toBe(1)
    }))
  })
})

describe('the risk of a verdict', () => {
  const ohms = { function: 'resistance', inAir: false } as const
  it('is of a false acceptance for a pass, of a false rejection for a fail', () => {
    const limits: Limits = { between: [209, 231] }
    expect(riskOf(230, limits, 'resistance', 'pass', normal(1))).toMatchObject({ of: 'false-acceptance', risk: expect.closeTo(0.158655, 5) as number })
    expect(riskOf(232, limits, 'resistance', 'fail', normal(1))).toMatchObject({ of: 'false-rejection', risk: expect.closeTo(0.158655, 5) as number })
  })
  it('keeps a risk of one in a million million', () => {
    expect(riskOf(100, { atMost: 107.2 }, 'resistance', 'pass', normal(1))?.risk).toBeCloseTo(3.0106e-13, 16)
  })
  it('of a short counts from its limit; of open, of an overload, and of a value without uncertainty there is none', () => {
    expect(riskOf(0.4, 'short', 'resistance', 'pass', normal(0.3))?.conforms).toBeCloseTo(0.97725, 5)
    expect(riskOf('overload', 'open', 'diode', 'pass', normal(1))).toBeNull()
    expect(riskOf(2.9, 'open', 'diode', 'pass', normal(1))).toBeNull()
    expect(riskOf('overload', { atLeast: 1000 }, 'resistance', 'pass', normal(1))).toBeNull()
    expect(riskOf(220, { atLeast: 10 }, 'resistance', 'pass', null)).toBeNull()
  })
  it('of an unconditional verdict at w = U is at most 2.5 % a limit, for every spread a budget can have', () => {
    const size = fc.double({ min: 0.01, max: 1, noNaN: true })
    fc.assert(fc.property(size, size, size, fc.integer({ min: 2, max: 60 }), fc.double({ min: -8, max: 18, noNaN: true }), (a, b, s, degrees, x) => {
      const part = { from: '', sensitivity: 1, unit: 'Ω' } as const
      const found = coverageOf([
        { ...part, what: 'a', kind: 'B', degrees: null, spread: { shape: 'rectangular', halfWidth: a } },
        { ...part, what: 'b', kind: 'B', degrees: null, spread: { shape: 'rectangular', halfWidth: b } },
        { ...part, what: 's', kind: 'A', degrees, spread: { shape: 'normal', standard: s } },
      ])
      const U = found.k * Math.sqrt((a * a + b * b) / 3 + s * s)
      const limits: Limits = { between: [0, 10] }
      const verdict = decide(x, limits, U, { kind: 'guard-band', r: 1 }, ohms)
      const risk = riskOf(x, limits, 'resistance', verdict, found.spread)?.risk ?? NaN
      if (verdict === 'pass') expect(risk).toBeLessThanOrEqual(0.05 + 1e-9)
      if (verdict === 'pass' && (x < 5 ? 10 - x : x) > 6 * U) expect(risk).toBeLessThanOrEqual(0.0255)
      if (verdict === 'fail') expect(risk).toBeLessThanOrEqual(0.025 + 1e-9)
    }), { numRuns: 200 })
  })
})
