/**
 * Decision rules against JCGM 106:2012 and ILAC-G8:09/2019. Figures, clause and table numbers are quoted from memory; the
 * probabilities are computed here from the normal distribution and not taken from the code under test.
 */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { adequacy } from '../../src-core/metrology/adequacy'
import { decide } from '../../src-core/metrology/decide'
import type { Limits } from '../../src-core/metrology/limits'

/** Standard normal distribution by Simpson's rule over its density. */
const phi = (z: number): number => {
  const from = -9
  if (z <= from) return 0
  const steps = 2000
  const h = (Math.min(z, 9) - from) / steps
  const density = (x: number): number => Math.exp(-x * x / 2) / Math.sqrt(2 * Math.PI)
  let sum = density(from) + density(from + steps * h)
  for (let i = 1; i < steps; i += 1) sum += (i % 2 === 1 ? 4 : 2) * density(from + i * h)
  return sum * h / 3
}
const volts = { function: 'dc-voltage', inAir: false } as const
const ohms = { function: 'resistance', inAir: false } as const

describe('the normal distribution used by these checks', () => {
  it('gives the quantiles of JCGM 100:2008, table G.1: 95.45 % within 2σ, 95 % within 1.960σ', () => {
    expect(phi(2) - phi(-2)).toBeCloseTo(0.9545, 4)
    expect(phi(1.96) - phi(-1.96)).toBeCloseTo(0.95, 4)
  })
})

describe('JCGM 106:2012, 7.3: conformance probability with one tolerance limit', () => {
  it('Zener breakdown −5.47 V, u 0.05 V, upper limit −5.40 V: p = Φ(1.40) = 0.92, a pass but no unconditional one at r = 1', () => {
    expect(phi((-5.40 + 5.47) / 0.05)).toBeCloseTo(0.92, 2)
    expect(decide(-5.47, { atMost: -5.40 }, 0.10, { kind: 'simple-acceptance', r: 0 }, volts)).toBe('pass')
    expect(decide(-5.47, { atMost: -5.40 }, 0.10, { kind: 'guard-band', r: 1 }, volts)).toBe('conditional-pass')
  })
  it('burst strength 509.7 kPa, u 8.6 kPa, lower limit 490 kPa: p = Φ(2.29) = 0.99, an unconditional pass at r = 1', () => {
    expect(phi((509.7 - 490) / 8.6)).toBeCloseTo(0.99, 2)
    // Pressure has no function here: the figures alone are put to the rule.
    expect(decide(509.7, { atLeast: 490 }, 17.2, { kind: 'guard-band', r: 1 }, ohms)).toBe('pass')
  })
})

describe('ILAC-G8:09/2019, table 1: risk of false acceptance at the acceptance limit, normal distribution, k = 2', () => {
  it.each([[0, 0.5], [0.83, 0.05], [1, 0.025]])('w = %d U: at most %d', (r, risk) => {
    expect(1 - phi(2 * r)).toBeLessThanOrEqual(risk + 1e-6)
  })

  const limits: Limits[] = [{ atMost: 10 }, { atLeast: 10 }, { between: [10, 14] }]
  const pConform = (x: number, l: Limits, u: number): number => {
    if (typeof l === 'string' || 'nominal' in l) return NaN
    if ('atMost' in l) return phi((l.atMost - x) / u)
    if ('atLeast' in l) return 1 - phi((l.atLeast - x) / u)
    return phi((l.between[1] - x) / u) - phi((l.between[0] - x) / u)
  }

  it('4.2.3: a pass at r = 1 is wrong in at most 2.5 % a bound; a fail is right in at least 97.5 %', () => {
    const values = fc.double({ min: 4, max: 20, noNaN: true })
    const uncertainties = fc.double({ min: 0.05, max: 1, noNaN: true })
    fc.assert(fc.property(values, uncertainties, fc.constantFrom(...limits), (x, U, l) => {
      const p = pConform(x, l, U / 2)
      const bounds = typeof l !== 'string' && 'between' in l ? 2 : 1
      const verdict = decide(x, l, U, { kind: 'guard-band', r: 1 }, ohms)
      if (verdict === 'pass') expect(p).toBeGreaterThanOrEqual(1 - 0.025 * bounds)
      if (verdict === 'fail') expect(p).toBeLessThanOrEqual(0.025)
      if (verdict === 'conditional-pass' && bounds === 1) expect(p).toBeGreaterThanOrEqual(0.5 - 1e-6)
      if (verdict === 'conditional-fail' && bounds === 1) expect(p).toBeLessThanOrEqual(0.5 + 1e-6)
    }), { numRuns: 400 })
  })

  it('4.2.1: a pass by simple acceptance is wrong in up to 50 % at the limit itself', () => {
    expect(decide(10, { atMost: 10 }, 1, { kind: 'simple-acceptance', r: 0 }, ohms)).toBe('pass')
    expect(pConform(10, { atMost: 10 }, 0.5)).toBeCloseTo(0.5, 6)
  })
})

describe('JCGM 106:2012, 7.6.3: measurement capability index C_m = T / (2U)', () => {
  it('is what the adequacy of a meter turns on, at 3', () => {
    const found = adequacy({ between: [209, 231] }, { lowestRange: 600, counts: 6000 }, { function: 'resistance', accuracy: { percent: 0.5, counts: 2 } })
    const capability = (found?.width ?? NaN) / (2 * (found?.U ?? NaN))
    expect(capability).toBeGreaterThan(3)
    expect(found?.enough).toBe(true)
    const generic = adequacy({ between: [209, 231] }, { lowestRange: 600, counts: 6000 }, { function: 'resistance', accuracy: null })
    expect((generic?.width ?? NaN) / (2 * (generic?.U ?? NaN))).toBeLessThan(3)
    expect(generic?.enough).toBe(false)
  })
})
