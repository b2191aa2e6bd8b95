import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { MeterFunction } from '../../../src-core/meter/reading'
import { decide } from '../../../src-core/metrology/decide'
import { acceptanceInterval, limitsMisfit, toleranceInterval } from '../../../src-core/metrology/interval'
import type { DecisionRule, Limits } from '../../../src-core/metrology/limits'

const simple: DecisionRule = { kind: 'simple-acceptance', r: 0 }
const guarded = (r: number): DecisionRule => ({ kind: 'guard-band', r })
const ohms = { function: 'resistance', inAir: false } as const
const r3: Limits = { nominal: 220, tolerance: 0.05 }

describe('simple acceptance', () => {
  it('passes inside the limits, and on them', () => {
    for (const value of [209, 220, 231]) expect(decide(value, r3, 2, simple, ohms)).toBe('pass')
    for (const value of [208.9, 231.1, 0, -220]) expect(decide(value, r3, 2, simple, ohms)).toBe('fail')
  })
  it('is not upset by binary fractions: 4.935 kΩ is on the limit of 4.7 kΩ ± 5 %', () => {
    expect(toleranceInterval({ nominal: 4700, tolerance: 0.05 })).toEqual([4465, 4935])
    expect(decide(4935, { nominal: 4700, tolerance: 0.05 }, 30, simple, ohms)).toBe('pass')
  })
  it('needs no uncertainty', () => {
    expect(decide(220, r3, null, simple, ohms)).toBe('pass')
  })
})

describe('a guard band w = r·U', () => {
  it('tells four verdicts apart at each bound', () => {
    const values = [206.9, 207, 208.9, 209, 210.9, 211, 229, 229.1, 231, 231.1, 233, 233.1]
    const verdicts = values.map((value) => decide(value, r3, 2, guarded(1), ohms))
    expect(verdicts).toEqual(['fail', 'conditional-fail', 'conditional-fail', 'conditional-pass', 'conditional-pass', 'pass',
      'pass', 'conditional-pass', 'conditional-pass', 'conditional-fail', 'conditional-fail', 'fail'])
  })
  it('has one side where the limit has one', () => {
    expect([1.4, 1.5, 2, 2.5, 2.6].map((value) => decide(value, { atMost: 2 }, 0.5, guarded(1), ohms)))
      .toEqual(['pass', 'pass', 'conditional-pass', 'conditional-fail', 'fail'])
    expect([2.6, 2.4, 1.9, 1.4].map((value) => decide(value, { atLeast: 2 }, 0.5, guarded(1), ohms)))
      .toEqual(['pass', 'conditional-pass', 'conditional-fail', 'fail'])
  })
  it('leaves no clear pass where the limits are narrower than two guard bands', () => {
    expect(decide(220, r3, 12, guarded(1), ohms)).toBe('conditional-pass')
  })
  it('gives only conditional verdicts with no uncertainty', () => {
    expect(decide(220, r3, null, guarded(1), ohms)).toBe('conditional-pass')
    expect(decide(500, r3, null, guarded(1), ohms)).toBe('conditional-fail')
  })

  const rank = { 'pass': 0, 'conditional-pass': 1, 'conditional-fail': 2, 'fail': 3 }
  const value = fc.double({ min: -1000, max: 1000, noNaN: true })
  const between = fc.tuple(value, fc.double({ min: 0.01, max: 500, noNaN: true }))
    .map(([lo, width]): Limits => ({ between: [lo, lo + width] }))
  const U = fc.double({ min: 0, max: 100, noNaN: true })

  it('never turns a value outside into a pass or one inside into a fail, for any r', () => {
    fc.assert(fc.property(value, between, U, fc.double({ min: 0, max: 1, noNaN: true }), (x, limits, u, r) => {
      const inside = decide(x, limits, u, simple, ohms) === 'pass'
      expect(rank[decide(x, limits, u, guarded(r), ohms)] <= 1).toBe(inside)
    }))
  })
  it('with r = 0 is simple acceptance', () => {
    fc.assert(fc.property(value, between, U, (x, limits, u) => {
      expect(decide(x, limits, u, guarded(0), ohms)).toBe(decide(x, limits, u, simple, ohms))
    }))
  })
  it('only gets stricter on a pass, and more forgiving on a fail, as U grows', () => {
    fc.assert(fc.property(value, between, U, U, (x, limits, one, other) => {
      const small = decide(x, limits, Math.min(one, other), guarded(1), ohms)
      const large = decide(x, limits, Math.max(one, other), guarded(1), ohms)
      expect(rank[small] <= 1 ? rank[large] >= rank[small] : rank[large] <= rank[small]).toBe(true)
    }))
  })
})

describe('open, short and overload', () => {
  const rules = [simple, guarded(1)]
  it('"open" passes on overload or a value in the air pattern; any other value fails', () => {
    for (const rule of rules) {
      expect(decide('overload', 'open', null, rule, { function: 'diode', inAir: true })).toBe('pass')
      expect(decide(2.9, 'open', 0.1, rule, { function: 'diode', inAir: true })).toBe('pass')
      expect(decide(2.9, 'open', 0.1, rule, { function: 'diode', inAir: false })).toBe('fail')
      expect(decide('negative-overload', 'open', null, rule, { function: 'diode', inAir: false })).toBe('fail')
    }
  })
  it('"short" passes at or under 1 Ω, or 10 mV in diode test', () => {
    expect(decide(1, 'short', 0.2, simple, ohms)).toBe('pass')
    expect(decide(-0.02, 'short', 0.2, simple, { function: 'continuity', inAir: false })).toBe('pass')
    expect(decide(1.1, 'short', 0.2, simple, ohms)).toBe('fail')
    expect(decide(0.01, 'short', 0.001, simple, { function: 'diode', inAir: false })).toBe('pass')
    expect(decide(0.011, 'short', 0.001, simple, { function: 'diode', inAir: false })).toBe('fail')
    expect(decide('overload', 'short', null, simple, ohms)).toBe('fail')
  })
  it('"short" means nothing elsewhere, and says so', () => {
    const elsewhere: MeterFunction[] = ['dc-voltage', 'capacitance', 'frequency']
    for (const f of elsewhere) {
      expect(limitsMisfit('short', f)).toContain(f)
      expect(() => acceptanceInterval('short', f)).toThrow(RangeError)
    }
    expect(limitsMisfit('short', 'diode')).toBeNull()
    expect(limitsMisfit('open', 'dc-voltage')).toBeNull()
  })
  it('an overload passes at least, and nothing else with figures', () => {
    for (const rule of rules) {
      expect(decide('overload', { atLeast: 1000 }, null, rule, ohms)).toBe('pass')
      for (const limits of [{ atMost: 1000 }, r3, { between: [1, 2] }] satisfies Limits[]) {
        expect(decide('overload', limits, null, rule, ohms)).toBe('fail')
      }
      expect(decide('negative-overload', { atMost: 1 }, null, rule, { function: 'dc-voltage', inAir: false })).toBe('fail')
      expect(decide('negative-overload', { atLeast: 1 }, null, rule, { function: 'dc-voltage', inAir: false })).toBe('fail')
    }
  })
})
