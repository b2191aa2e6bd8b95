/** What failed boards do to a diagnosis; the figures beside each check are worked out by hand. */
import { describe, expect, it } from 'vitest'
import { boardType, type BoardType } from '../../../src-core/board/board-type'
import { diagnose } from '../../../src-core/circuit/diagnose'
import { fittedWeights, shareFaulty } from '../../../src-core/circuit/diagnose/fitted-weights'
import { heldAgainst, usualCounts } from '../../../src-core/circuit/diagnose/set-prior'
import { sitesOf } from '../../../src-core/circuit/diagnose/sites'
import type { ReadingsFile } from '../../../src-core/circuit/readings-file'
import { countsOf, type FaultHistory, learntPriors, noHistory, weightFactors } from '../../../src-core/shop/fault-history'
import { scoredBoards } from '../circuit/score/boards'
import { measured } from './learned-priors'
import { boardIn, crossedFrom, surgeShop } from './simulated-shop'
import { smallBoard } from './divider'

/** Six resistors of 1 kΩ: two side by side from A to B, the others in a row behind them. Any is as likely to fail as another. */
const six: BoardType = boardType.parse({
  ...smallBoard, id: 'six', name: 'Six', nets: ['A', 'B', 'C', 'D', 'E', 'F'],
  testPoints: ['A', 'B', 'C', 'D', 'E', 'F'].map((net, at) => ({ id: net, net, picture: 'top', x: 10 + 15 * at, y: 50, words: `point ${net}` })),
  parts: [['A', 'B'], ['A', 'B'], ['B', 'C'], ['C', 'D'], ['D', 'E'], ['E', 'F']].map(([from, to], at) => ({ ref: `R${at + 1}`, kind: 'resistor', value: 1000, tolerance: 0.01, pins: { 1: from, 2: to } })),
  sequence: { id: 's', version: 1, steps: [{ id: 'r1', kind: 'measure', title: 'R1', red: 'A', black: 'B', function: 'resistance', limits: { nominal: 500, tolerance: 0.05 }, parts: ['R1', 'R2'] }] },
})
const fileOf = (...values: [string, string, number][]): ReadingsFile => ({
  schema: 'probewright/readings/1', board: { id: 'six', revision: 'A' }, celsius: 25, state: [],
  readings: values.map(([red, black, value]) => ({ red, black, function: 'resistance', value, U: 2, k: 2, evidence: 'steady' })),
})
/** On each of forty boards R1 was faulty, and it alone: as many as the usual figures weigh. */
const alone: FaultHistory = { faults: { R1: 40 }, byNumber: [40] }
const chances = (file: ReadingsFile, history: FaultHistory): number[] => diagnose(six, file, learntPriors(six, history)).parts.map(({ probability }) => probability)

describe('the number of faults', () => {
  it('is the usual one without history, and goes to what was found: (40 · 1/5 + k) / (40 + 40) of the boards with a fault, five sixths of all', () => {
    countsOf(noHistory).forEach((chance, n) => { expect(chance).toBeCloseTo(usualCounts[n] ?? NaN, 12) })
    const expected = [1 / 6, 5 / 6 * 28 / 80, 5 / 6 * 18 / 80, 5 / 6 * 8 / 80, 5 / 6 * 8 / 80, 5 / 6 * 18 / 80]
    countsOf({ faults: {}, byNumber: [20, 10, 0, 0, 5, 4, 1] }).forEach((chance, n) => { expect(chance).toBeCloseTo(expected[n] ?? NaN, 12) })
  })
})

describe('weights and how often each part is faulty', () => {
  it('agree with sums over all sets', () => {
    // Of one fault 1/4 and 3/4, of two both: half of each.
    shareFaulty([0.2, 0.4, 0.4], [1, 3]).forEach((share, at) => { expect(share).toBeCloseTo([0.625, 0.875][at] ?? NaN, 12) })
    // Of two faults among weights 1, 2, 3: (2 + 3)/11, (2 + 6)/11 and (3 + 6)/11.
    shareFaulty([0, 0, 1], [1, 2, 3]).forEach((share, at) => { expect(share).toBeCloseTo([5 / 11, 8 / 11, 9 / 11][at] ?? NaN, 12) })
  })
  it('are found from each other', () => {
    const weights = [12, 0.5, 3, 1, 1, 7, 0.1]
    const counts = [0.1, 0.4, 0.2, 0.1, 0.1, 0.1]
    const found = fittedWeights(counts, shareFaulty(counts, weights), weights.map(() => 24.6 / 7))
    found.forEach((weight, at) => { expect(weight).toBeCloseTo(weights[at] ?? NaN, 4) })
  })
})

describe('a diagnosis that is told of failed boards', () => {
  it('holds each part for as likely faulty before any reading as the boards say', () => {
    // Usual: three faults among six parts on a failed board, which five of six boards are: 5/6 · 1/2.
    for (const chance of chances(fileOf(), noHistory)) expect(chance).toBeCloseTo(5 / 12, 6)
    // With history: R1 on (40 · 1/2 + 40)/80 of failed boards, each other on (40 · 1/2)/80.
    chances(fileOf(), alone).forEach((chance, at) => { expect(chance).toBeCloseTo(5 / 6 * (at === 0 ? 0.75 : 0.25), 6) })
  })
  it('carries it through what readings cannot tell apart', () => {
    // R1 weighs a, every other 1: Σ P(n)·a·n/(a·n + 6 − n) = 0.75 with P = 0.6, 0.1, 0.1, 0.1, 0.1; by hand a = 8.995.
    expect(weightFactors(six, alone).get('R1') ?? NaN).toBeCloseTo(6 * 8.995 / 13.995, 2)
    expect(weightFactors(six, alone).get('R2') ?? NaN).toBeCloseTo(6 / 13.995, 2)
    // 1 kΩ where two side by side make 500 Ω, all else sound: R1 or R2 is open, in the ratio of their weights.
    const [one = NaN, other = NaN, ...rest] = chances(fileOf(['A', 'B', 1000], ['B', 'C', 1000], ['C', 'D', 1000], ['D', 'E', 1000], ['E', 'F', 1000]), alone)
    expect(one / other).toBeGreaterThan(8)
    expect(one / other).toBeLessThan(9.5)
    for (const chance of rest) expect(chance).toBeLessThan(0.002)
    const usual = chances(fileOf(['A', 'B', 1000], ['B', 'C', 1000], ['C', 'D', 1000], ['D', 'E', 1000], ['E', 'F', 1000]), noHistory)
    expect((usual[0] ?? NaN) / (usual[1] ?? NaN)).toBeCloseTo(1, 3)
  })
  it('calls no part good on the word of other boards: the readings must speak for it as loudly as without history', () => {
    const thresholds = { goodUpTo: 0.002, goodShare: 0.5 }
    // Usual odds 1/4 must fall to 1/499 (0.2 %), to 4/499 of what they were; those of 1/99 then to 4/499/99, which is half of 8/499/99.
    const [rarer = NaN, same, likelier] = heldAgainst(Float64Array.of(0.01, 0.2, 0.5), Float64Array.of(0.2, 0.2, 0.2), thresholds)
    expect(rarer / (1 - rarer)).toBeCloseTo(8 / 499 / 99, 12)
    expect([same, likelier]).toEqual([0.2, 0.5])
    // Half as likely as usual, and unlikely either way: to fall by half is asked for in any case.
    expect(heldAgainst(Float64Array.of(0.0005), Float64Array.of(0.001), thresholds)[0]).toBeCloseTo(0.0005, 12)
  })
  it('is the usual one where nothing failed yet', () => {
    const file = fileOf(['A', 'B', 1000])
    expect(weightFactors(six, noHistory)).toEqual(new Map(six.parts.map(({ ref }) => [ref, 1])))
    const [told, usual] = [diagnose(six, file, learntPriors(six, noHistory)), diagnose(six, file)]
    told.parts.forEach(({ probability }, at) => { expect(probability).toBeCloseTo(usual.parts[at]?.probability ?? NaN, 9) })
  })
  it('does not take a fault that no reading shows for rarer because none was ever found', () => {
    const board = boardType.parse({ ...six, parts: [...six.parts, { ref: 'RV1', kind: 'varistor', value: 47, pins: { 1: 'A', 2: 'F' } }] })
    const openOf = (factor: number): number => sitesOf(board, [], () => factor).find(({ ref }) => ref === 'RV1')?.states.find(({ kind }) => kind === 'open')?.weight ?? NaN
    expect([openOf(0.1), openOf(1), openOf(3)]).toEqual([1, 1, 3])
    expect(sitesOf(board, [], () => 0.1).find(({ ref }) => ref === 'RV1')?.states.find(({ kind }) => kind === 'short')?.weight).toBeCloseTo(0.6, 12)
  })
})

describe('the shop with surges', () => {
  const board = scoredBoards('.').find(({ id }) => id === 'soil-relay')
  if (board === undefined) throw new Error('There is no such board.')
  it('hurts what lies at its terminal most, and gives the same board again', () => {
    // Along the supply of its file: F1, L1, then D1, which clamps it; V24 is a supply.
    const crossed = crossedFrom(board, 'J1')
    expect(['F1', 'L1', 'D1', 'R3'].map((ref) => crossed.get(ref))).toEqual([0, 1, 2, 3])
    const shop = surgeShop(board, 5)
    expect(boardIn(shop, 12).faults).toEqual(boardIn(shop, 12).faults)
  })
  it('needs fewer touches once 500 boards are known, and no faulty part is called good: seed 4711, two boards', () => {
    const { usual, learnt } = measured(board, surgeShop, 4711, 2, 500)
    const all = (touches: readonly number[]): number => touches.reduce((sum, one) => sum + one, 0)
    expect(all(learnt.touches)).toBeLessThan(all(usual.touches))
    expect(learnt.wrong).toBe(0)
  })
})
