/**
 * Conformance probability and the guard bands that the guidance names. Figures, clause and table numbers are quoted from memory, none
 * was at hand; decision-rules.test.ts holds the verdicts to a distribution of its own.
 */
import { describe, expect, it } from 'vitest'
import { conformanceProbability, riskOf } from '../../src-core/metrology/conformance'
import type { ValueSpread } from '../../src-core/metrology/coverage'
import { decide } from '../../src-core/metrology/decide'
import { presets } from '../../src-core/metrology/rules'

const normal = (standard: number): ValueSpread => ({ kind: 'student', standard, degrees: null })
const volts = { function: 'dc-voltage', inAir: false } as const

describe('JCGM 106:2012, 7.3: one tolerance limit (from memory)', () => {
  it.each([[3, 0.999], [2.5, 0.994], [2, 0.977], [1.5, 0.933], [1, 0.841], [0.5, 0.691], [0, 0.5], [-0.5, 0.309], [-1, 0.159], [-1.5, 0.067], [-2, 0.023], [-2.5, 0.006], [-3, 0.001]])(
    'table 1: z = %d: p_c = %d', (z, p) => {
      expect(conformanceProbability(z, normal(1), { lo: 0, hi: null })).toBeCloseTo(p, 3)
      expect(conformanceProbability(-z, normal(1), { lo: null, hi: 0 })).toBeCloseTo(p, 3)
    })
  it('Zener breakdown −5.47 V, u 0.05 V, upper limit −5.40 V: 0.92', () => {
    expect(conformanceProbability(-5.47, normal(0.05), { lo: null, hi: -5.40 }).toFixed(2)).toBe('0.92')
  })
  it('burst strength 509.7 kPa, u 8.6 kPa, lower limit 490 kPa: 0.99', () => {
    expect(conformanceProbability(509.7, normal(8.6), { lo: 490, hi: null }).toFixed(2)).toBe('0.99')
  })
})

describe('JCGM 106:2012, 8.3: guarded acceptance (from memory)', () => {
  it('with g = U = 2u a value on its acceptance limit conforms in 97.7 %', () => {
    expect(conformanceProbability(10 - 2 * 0.4, normal(0.4), { lo: null, hi: 10 }).toFixed(3)).toBe('0.977')
  })
})

describe('ILAC-G8:09/2019, table 1: each guard band with the risk it states, k = 2 (from memory)', () => {
  const stated: Record<number, number> = { 0: 0.50, 0.83: 0.05, 1: 0.025, 1.5: 0.0016, 3: 1e-6 }
  it.each(presets.map(({ rule, name }) => [name, rule] as const))('%s', (_, rule) => {
    const U = 0.2
    const limit = { atMost: 10 }
    const edge = 10 - rule.r * U - 1e-9
    const verdict = decide(edge, limit, U, rule, volts)
    expect(verdict).toBe('pass')
    const risk = riskOf(edge, limit, 'dc-voltage', verdict, normal(U / 2))?.risk ?? NaN
    expect(risk).toBeLessThanOrEqual(stated[rule.r] ?? NaN)
    // And not by much: a band far too wide would show here. The two widest are stated as round figures.
    expect(risk).toBeGreaterThan((stated[rule.r] ?? NaN) * (rule.r < 1.5 ? 0.9 : rule.r === 1.5 ? 0.8 : 0.0005))
  })
  it('4.2.3: a clear fail is further out by w, and conforms in 2.5 % at most', () => {
    expect(decide(10.2001, { atMost: 10 }, 0.2, { kind: 'guard-band', r: 1 }, volts)).toBe('fail')
    expect(riskOf(10.2001, { atMost: 10 }, 'dc-voltage', 'fail', normal(0.1))?.risk).toBeLessThanOrEqual(0.025)
  })
})
