import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { leastCover } from '../../../src-core/circuit/least-cover'

const options = 9
const meets = (chosen: readonly number[], demands: readonly (readonly number[])[]): boolean => demands.every((demand) => demand.some((one) => chosen.includes(one)))
const subsets = Array.from({ length: 2 ** options }, (_, bits) => Array.from({ length: options }, (__, at) => at).filter((at) => (bits & (1 << at)) !== 0))
const least = (demands: readonly (readonly number[])[]): number => Math.min(...subsets.filter((chosen) => meets(chosen, demands)).map(({ length }) => length))
const drawn = fc.array(fc.uniqueArray(fc.nat(options - 1), { minLength: 1, maxLength: options }), { maxLength: 14 })
const asSets = (demands: readonly (readonly number[])[]): Set<number>[] => demands.map((demand) => new Set(demand))

describe('the least cover', () => {
  it('meets every demand with as few as trying every subset finds', () => {
    fc.assert(fc.property(drawn, (demands) => {
      const { chosen, exact } = leastCover(asSets(demands))
      expect([exact, meets(chosen, demands), chosen.length]).toEqual([true, true, least(demands)])
      expect(chosen).toEqual([...chosen].sort((a, b) => a - b))
    }), { seed: 1, numRuns: 400 })
  })
  it('is smaller than always taking what meets most, where that goes wrong', () => {
    // Option 0 meets most demands and still two more are needed; 1 and 2 meet all.
    const demands = [[0, 1], [0, 1], [0, 1, 3], [0, 2], [0, 2], [0, 2, 4], [1], [2]]
    expect(leastCover(asSets(demands)).chosen).toEqual([1, 2])
  })
  it('given up early it still meets every demand, and says that it may not be the least', () => {
    fc.assert(fc.property(drawn, (demands) => {
      const { chosen, exact } = leastCover(asSets(demands), 0)
      expect(meets(chosen, demands)).toBe(true)
      if (exact) expect(chosen.length).toBe(least(demands))
    }), { seed: 2, numRuns: 200 })
    expect(leastCover([new Set([0, 1]), new Set([1, 2])], 0).exact).toBe(false)
  })
  it('needs nothing where nothing is demanded, and cannot meet a demand without options', () => {
    expect(leastCover([])).toEqual({ chosen: [], exact: true })
    expect(() => leastCover([new Set()])).toThrow(RangeError)
  })
})
