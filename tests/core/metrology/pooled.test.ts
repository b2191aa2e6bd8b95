import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { groupOf, pooledRepeatability, scattersMore } from '../../../src-core/metrology/pooled'

describe('pooled repeatability', () => {
  it('weighs each group with its degrees of freedom', () => {
    const found = pooledRepeatability([{ sd: 0.1, count: 3 }, { sd: 0.2, count: 5 }])
    expect(found?.sd).toBeCloseTo(Math.sqrt((2 * 0.01 + 4 * 0.04) / 6), 12)
    expect(found).toMatchObject({ degrees: 6, groups: 2 })
  })
  it('learns nothing from single readings, and says so', () => {
    expect(pooledRepeatability([])).toBeNull()
    expect(pooledRepeatability([{ sd: 0, count: 1 }, { sd: 0, count: 1 }])).toBeNull()
    expect(pooledRepeatability([{ sd: 0, count: 1 }, { sd: 0.3, count: 4 }])).toEqual({ sd: expect.closeTo(0.3, 12) as number, degrees: 3, groups: 1 })
  })
  it('lies between the least and the largest, and does not shrink with the number of groups', () => {
    const groups = fc.array(fc.record({ sd: fc.double({ min: 0, max: 5, noNaN: true }), count: fc.integer({ min: 2, max: 9 }) }), { minLength: 1, maxLength: 30 })
    fc.assert(fc.property(groups, (some) => {
      const sd = pooledRepeatability(some)?.sd ?? NaN
      expect(sd).toBeGreaterThanOrEqual(Math.min(...some.map((g) => g.sd)) - 1e-9)
      expect(sd).toBeLessThanOrEqual(Math.max(...some.map((g) => g.sd)) + 1e-9)
      expect(pooledRepeatability([...some, ...some])?.sd).toBeCloseTo(sd, 10)
    }))
  })
})

describe('a group of figures', () => {
  it('has the standard deviation with n − 1', () => {
    expect(groupOf([1, 2, 3, 4]).sd).toBeCloseTo(Math.sqrt(5 / 3), 12)
    expect(groupOf([7])).toEqual({ sd: 0, count: 1 })
  })
})

describe('a group that scatters more than is usual', () => {
  const usual = { sd: 1, degrees: 40, groups: 10 }
  it('is told by a ratio rarer than one in a hundred', () => {
    // F(0.99; 4, 40) = 3.83: from memory of common tables.
    expect(scattersMore({ sd: Math.sqrt(3.80), count: 5 }, usual)).toBe(false)
    expect(scattersMore({ sd: Math.sqrt(3.86), count: 5 }, usual)).toBe(true)
  })
  it('is none when it scatters less, or is one reading; any scatter is more than none', () => {
    expect(scattersMore({ sd: 0.2, count: 5 }, usual)).toBe(false)
    expect(scattersMore({ sd: 9, count: 1 }, usual)).toBe(false)
    expect(scattersMore({ sd: 1e-6, count: 3 }, { ...usual, sd: 0 })).toBe(true)
  })
})
