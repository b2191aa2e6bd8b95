import { describe, expect, it } from 'vitest'
import { partKind } from '../../../src-core/board/part'
import { drawCase, drawFaults, drawFaultSet, drawStrays } from '../../../src-core/circuit/draw-faults'
import { drawnRanges, faultPriors, priorsOf } from '../../../src-core/circuit/fault-priors'
import { allowedFaults, faultText, parseFault } from '../../../src-core/circuit/faults'
import { neighbouringNets } from '../../../src-core/circuit/neighbours'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { allBoards, sampleBoard } from './sample'

const many = Array.from({ length: 2000 }, (_, seed) => seed)

describe('the priors', () => {
  it.each(partKind.options)('of a %s are above nothing, and of kinds of fault it can have', (kind) => {
    for (const prior of faultPriors[kind]) {
      expect(prior.weight).toBeGreaterThan(0)
      expect(allowedFaults(kind)).toContain(prior.kind)
    }
    expect(new Set(faultPriors[kind].map((prior) => prior.kind)).size).toBe(faultPriors[kind].length)
    expect(faultPriors[kind].length > 0).toBe(kind !== 'connector')
  })
})

describe.each(allBoards)('faults drawn for %s', (folder) => {
  const board = sampleBoard(folder)
  it('are of different parts, as many as asked, and can be typed', () => {
    for (const seed of many.slice(0, 300)) {
      const faults = drawFaultSet(board, seededRandom(seed), 1 + (seed % 5))
      expect(faults).toHaveLength(1 + (seed % 5))
      expect(new Set(faults.map(({ ref }) => ref)).size).toBe(faults.length)
      for (const fault of faults) expect(parseFault(board, faultText(fault))).toEqual({ fault })
    }
  })
  it('are as likely as their priors, within five standard errors', () => {
    const first = many.flatMap((seed) => drawFaultSet(board, seededRandom(seed), 1))
    const priors = priorsOf(board)
    const total = priors.reduce((sum, { weight }) => sum + weight, 0)
    for (const { part, kind, weight } of priors) {
      const share = weight / total
      const found = first.filter((fault) => fault.ref === part.ref && fault.kind === kind).length / many.length
      expect(Math.abs(found - share), `${part.ref} ${kind}`).toBeLessThan(5 * Math.sqrt(share * (1 - share) / many.length))
    }
  })
})

describe('a board drawn for scoring', () => {
  const board = sampleBoard('valve-hub')
  const cases = many.map((seed) => drawCase(board, seededRandom(seed)))
  it('has one to five faults, equally often', () => {
    for (const count of [1, 2, 3, 4, 5]) expect(Math.abs(cases.filter(({ faults }) => faults.length === count).length / many.length - 0.2)).toBeLessThan(0.045)
  })
  it('has figures inside the drawn ranges, evenly in their logarithm', () => {
    const faults = cases.flatMap((each) => each.faults)
    const within = (values: number[], [low, high]: readonly [number, number]): void => {
      expect(values.length).toBeGreaterThan(100)
      expect(Math.min(...values)).toBeGreaterThanOrEqual(low)
      expect(Math.max(...values)).toBeLessThanOrEqual(high)
      expect(values.filter((value) => value < Math.sqrt(low * high)).length / values.length).toBeCloseTo(0.5, 1)
    }
    within(faults.flatMap((fault) => (fault.kind === 'short' ? [fault.ohms] : [])), drawnRanges.shortOhms)
    within(faults.flatMap((fault) => (fault.kind === 'leaky' ? [fault.ohms] : [])), drawnRanges.leakOhms)
    const factors = faults.flatMap((fault) => (fault.kind === 'drifted' ? [fault.factor] : []))
    within(factors.map((factor) => Math.max(factor, 1 / factor)), [drawnRanges.driftFactors[0] * 0.999, drawnRanges.driftFactors[1] * 1.001])
    expect(factors.some((factor) => factor < 1) && factors.some((factor) => factor > 1)).toBe(true)
  })
  it('leaks between neighbouring nets on a fifth of the boards, 100 kΩ to 10 MΩ', () => {
    const strays = cases.flatMap((each) => each.strays)
    expect(Math.abs(strays.length / many.length - 0.2)).toBeLessThan(0.045)
    const pairs = neighbouringNets(board).map((nets) => nets.join('/'))
    for (const { nets, ohms } of strays) {
      expect(pairs).toContain(nets.join('/'))
      expect(ohms >= 1e5 && ohms <= 1e7).toBe(true)
    }
  })
  it('is the same for the same seed', () => expect(drawCase(board, seededRandom(7))).toEqual(cases[7]))
  it('with no two nets beside one another has no stray leak', () => expect(many.slice(0, 50).flatMap((seed) => drawStrays({ ...board, parts: [], testPoints: [] }, seededRandom(seed)))).toEqual([]))
})

describe('the practice bench', () => {
  it('hides one fault, more when asked', () => {
    expect(drawFaults(sampleBoard(), seededRandom(3))).toHaveLength(1)
    expect(drawFaults(sampleBoard(), seededRandom(3), 3)).toHaveLength(3)
  })
})
