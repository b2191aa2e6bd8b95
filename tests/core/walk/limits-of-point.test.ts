import { describe, expect, it } from 'vitest'
import fc from 'fast-check'
import { limitsOfGoodBoards, type GoodValue } from '../../../src-core/run/good-values'

const ohms = (value: GoodValue['value'], U: number | null = null): GoodValue => ({ function: 'resistance', value, U })
const between = (good: GoodValue[], tolerance = 0.15): [number, number] => {
  const limits = limitsOfGoodBoards(good, tolerance)?.limits
  if (typeof limits !== 'object' || !('between' in limits)) throw new Error(`Not two limits: ${JSON.stringify(limits)}`)
  return limits.between
}

describe('what a point of a walk is judged by', () => {
  it('one good board: the stated share either way', () => expect(between([ohms(1000)], 0.1)).toEqual([900, 1100]))
  it('never narrower than the meter’s uncertainty', () => expect(between([ohms(1000, 300)], 0.1)).toEqual([700, 1300]))
  it('a few good boards: from the lowest to the highest of them, and the share of their mean beyond', () =>
    expect(between([ohms(900), ohms(1000), ohms(1100)], 0.1)).toEqual([800, 1200]))
  it('six boards: the statistical tolerance interval, k = 5.775 for n = 6, 99 % with 95 % confidence (ISO 16269-6 and NIST/SEMATECH e-Handbook 7.2.6.3; value from memory)', () => {
    const values = [98, 99, 100, 100, 101, 102]
    const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - 100) ** 2, 0) / 5)
    const [low, high] = between(values.map((value) => ohms(value)))
    // Limits are rounded outward to three digits.
    expect([low, high].map((limit, index) => Math.abs(limit - (100 + (index === 0 ? -1 : 1) * 5.775 * sd)) < 1.01)).toEqual([true, true])
  })
  it('all open: open; some open: at least what the others read', () => {
    expect(limitsOfGoodBoards([ohms('overload'), ohms('overload')], 0.15)?.limits).toBe('open')
    expect(limitsOfGoodBoards([ohms('overload'), ohms(1e6)], 0.1)?.limits).toEqual({ atLeast: 900000 })
  })
  it('where nothing reads below zero there is one limit, above', () => expect(limitsOfGoodBoards([ohms(0.2, 0.5)], 0.15)?.limits).toEqual({ atMost: 0.7 }))
  it('no board, or a zero with no uncertainty: nothing to judge by', () => {
    expect(limitsOfGoodBoards([], 0.15)).toBeNull()
    expect(limitsOfGoodBoards([ohms(0)], 0.15)).toBeNull()
  })
  it('every good board with few of them passes its own limits', () => {
    fc.assert(fc.property(fc.array(fc.double({ min: 1, max: 1e6, noNaN: true }), { minLength: 1, maxLength: 5 }), (values) => {
      const limits = limitsOfGoodBoards(values.map((value) => ohms(value)), 0.15)?.limits
      const [low, high] = typeof limits !== 'object' ? [NaN, NaN] : 'between' in limits ? limits.between : 'atMost' in limits ? [0, limits.atMost] : [NaN, NaN]
      return values.every((value) => value >= low && value <= high)
    }))
  })
})
