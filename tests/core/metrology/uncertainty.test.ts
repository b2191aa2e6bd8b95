import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { expandedUncertainty } from '../../../src-core/metrology/uncertainty'

describe('the expanded uncertainty of a captured value', () => {
  it('of an overload is none', () => {
    expect(expandedUncertainty('overload', null, null, null)).toBeNull()
    expect(expandedUncertainty('negative-overload', 0.1, null, { percent: 1, counts: 2 })).toBeNull()
    expect(expandedUncertainty(4, null, null, null)).toBeNull()
  })
  it('uses 1.5 % and 5 counts for a meter nobody entered, and says so', () => {
    const found = expandedUncertainty(220, 0.1, 0, null)
    expect(found?.basis).toBe('generic')
    expect(found?.U).toBeCloseTo(2 * Math.sqrt(3.8 ** 2 / 3 + 0.01 / 12), 12)
  })
  it('uses the meter where it is entered', () => {
    const found = expandedUncertainty(-220, 0.1, 0.3, { percent: 0.5, counts: 2 })
    expect(found).toMatchObject({ k: 2, basis: 'specification' })
    expect(found?.U).toBeCloseTo(2 * Math.sqrt(1.3 ** 2 / 3 + 0.01 / 12 + 0.09), 12)
  })
  it('never falls when value, count, scatter or specification grow', () => {
    const size = fc.double({ min: 0, max: 1e3, noNaN: true })
    const causes = fc.record({ value: size, count: size, s: size, percent: size, counts: size })
    const names = fc.constantFrom('value', 'count', 's', 'percent', 'counts')
    fc.assert(fc.property(causes, names, size, (base, grows, more) => {
      const U = ({ value, count, s, percent, counts }: typeof base): number =>
        expandedUncertainty(value, count, s, { percent, counts })?.U ?? NaN
      expect(U({ ...base, [grows]: base[grows] + more })).toBeGreaterThanOrEqual(U(base))
    }))
  })
})
