import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { boardType, type BoardType, type MeasureStep } from '../../../src-core/board/board-type'
import { drawFaults } from '../../../src-core/circuit/draw-faults'
import { type Fault, faultText, refOf } from '../../../src-core/circuit/faults'
import { networkOf } from '../../../src-core/circuit/network'
import { rivalsOf } from '../../../src-core/circuit/rivals'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { shortestWay } from '../../../src-core/circuit/shortest-way'
import { readingAt, shownAs, toldApart } from '../../../src-core/circuit/told-apart'
import { closeFigures, usualFigures, type FaultFigures } from '../../../src-core/circuit/usual-faults'
import { isLong, sampled } from '../../bench-tools/sampled'
import { faultsOf, sampleBoard } from './sample'

type Rod = [from: string, to: string, ohms: number]
type Look = [red: string, black: string]

/** Resistors between nets, each net a test point, each step ± 10 % about what a good board reads there. */
const resistors = (rods: readonly Rod[], looks: readonly Look[]): BoardType => {
  const nets = [...new Set([...rods.flatMap(([from, to]) => [from, to]), ...looks.flat()])]
  const board = boardType.parse({
    schema: 'probewright/board-type/1', id: 'small', name: 'Small', revision: 'A', hazard: 'extra-low', mainsReferenced: false,
    pictures: [{ id: 'top', file: 'top.png', width: 10, height: 10 }], nets, energyStores: [], disconnect: [],
    testPoints: nets.map((net) => ({ id: net, net, picture: 'top', x: 1, y: 1, words: net })),
    parts: rods.map(([from, to, ohms], at) => ({ ref: `R${at + 1}`, kind: 'resistor', value: ohms, pins: { 1: from, 2: to } })),
    sequence: { id: 's', version: 1, steps: looks.map(([red, black], at) => ({ kind: 'measure', id: `${red}${black}${at}`, title: `${red} to ${black}`, red, black, function: 'resistance', limits: 'short' })) },
  })
  const good = networkOf(board, [])
  return { ...board, sequence: { ...board.sequence, steps: board.sequence.steps.map((step) => {
    if (step.kind !== 'measure') return step
    const reading = readingAt(board, good, step)
    return { ...step, limits: typeof reading === 'number' && reading > 0 ? { nominal: reading, tolerance: 0.1 } : 'open' as const }
  }) } }
}
const steps = (board: BoardType): MeasureStep[] => board.sequence.steps.filter((step) => step.kind === 'measure')
const combinations = (from: readonly number[], size: number): number[][] =>
  size === 0 ? [[]] : from.flatMap((first, at) => combinations(from.slice(at + 1), size - 1).map((rest) => [first, ...rest]))

/** The definition, taken at its word: which subsets of the steps tell the hidden faults from whatever the whole sequence tells them from. */
const tells = (board: BoardType, hidden: readonly Fault[], figures: FaultFigures): ((chosen: readonly number[]) => boolean) => {
  const all = steps(board)
  const shown = (faults: readonly Fault[]) => all.map((step) => shownAs(step, readingAt(board, networkOf(board, faults), step)))
  const truth = shown(hidden)
  const rivals = [...(hidden.length > 0 ? [shown([])] : []), ...rivalsOf(board, hidden, all, figures).map((rival) => rival.shown)]
  const by = (chosen: readonly number[], rival: readonly ReturnType<typeof shownAs>[]): boolean =>
    chosen.some((at) => { const step = all[at]; return step !== undefined && toldApart(step, truth[at] ?? null, rival[at] ?? null) })
  const everything = all.map((_, at) => at)
  const possible = rivals.filter((rival) => by(everything, rival))
  return (chosen) => possible.every((rival) => by(chosen, rival))
}

/** The size of the smallest subset that tells, by trying every one, up to `most`. */
const bruteForce = (board: BoardType, hidden: readonly Fault[], figures: FaultFigures, most: number): number | null => {
  const telling = tells(board, hidden, figures)
  const everything = steps(board).map((_, at) => at)
  for (let size = 0; size <= most; size += 1) if (combinations(everything, size).some(telling)) return size
  return null
}
const placesOf = (board: BoardType, ids: readonly string[]): number[] => ids.map((id) => steps(board).findIndex((step) => step.id === id))

describe('worked by hand: two resistors of 1 kΩ in a row, A to B and B to C', () => {
  const rods: Rod[] = [['A', 'B', 1000], ['B', 'C', 1000]]
  const way = (looks: Look[], fault: string) => {
    const board = resistors(rods, looks)
    const { steps: taken, shows, alike } = shortestWay(board, faultsOf(board, fault))
    return { taken: taken.map((id) => id.slice(0, 2)), shows, alike: alike.map(faultText) }
  }
  it('with a step across each, the step across the open one is enough', () =>
    expect(way([['A', 'C'], ['A', 'B'], ['B', 'C']], 'R1:open')).toEqual({ taken: ['AB'], shows: true, alike: [] }))
  it('with the whole row and the other one, it takes both: open somewhere, and not there', () =>
    expect(way([['A', 'C'], ['B', 'C']], 'R1:open')).toEqual({ taken: ['AC', 'BC'], shows: true, alike: [] }))
  it('with the whole row alone, one step shows it, and the two are one group', () =>
    expect(way([['A', 'C']], 'R1:open')).toEqual({ taken: ['AC'], shows: true, alike: ['R2:open'] }))
  it('where only the other one is looked at, nothing shows it', () => expect(way([['B', 'C']], 'R1:open')).toMatchObject({ taken: [], shows: false }))
  it('a drift to half and a leak as large as the resistor read the same: one group, whatever figure the leak was drawn with', () =>
    expect(way([['A', 'B'], ['B', 'C']], 'R1:drifted=0.5')).toEqual({ taken: ['AB'], shows: true, alike: ['R1:leaky=900'] }))
  it('a board with no fault takes a step across each: a leak of 5 kΩ beside one is 17 % there, and 8 % of the row, within its tolerance', () =>
    expect(shortestWay(resistors(rods, [['A', 'C'], ['A', 'B'], ['B', 'C']]), []).steps).toEqual(['AB1', 'BC2']))
})

describe('against trying every subset of the steps', () => {
  it('on small boards of resistors, each of their faults in turn', () => {
    const net = fc.constantFrom('A', 'B', 'C', 'D')
    const pair = fc.tuple(net, net).filter(([a, b]) => a !== b)
    const rod = fc.tuple(pair, fc.constantFrom(10, 100, 1000, 10_000)).map(([[a, b], ohms]): Rod => [a, b, ohms])
    fc.assert(fc.property(fc.array(rod, { minLength: 2, maxLength: 5 }), fc.array(pair, { minLength: 1, maxLength: 6 }), fc.nat(4),
      fc.constantFrom('open', 'short', 'leaky=300', 'drifted=3'), (rods, looks, which, fault) => {
        const board = resistors(rods, looks)
        const hidden = faultsOf(board, `R${(which % rods.length) + 1}:${fault}`)
        const way = shortestWay(board, hidden, usualFigures)
        const good = steps(board).map((step) => shownAs(step, readingAt(board, networkOf(board, hidden), step)))
        expect(way.shows).toBe(good.some((shown) => shown !== 'inside'))
        expect(way.exact).toBe(true)
        if (way.shows) expect(way.steps.length).toBe(bruteForce(board, hidden, usualFigures, looks.length))
        else expect(way.steps).toEqual([])
      }), { seed: 1, numRuns: isLong ? 60 : 20 })
  })

  it.each([
    ...sampled([['vent-driver-node', 0], ['vent-driver-node', 1]] as const, 1),
    ...sampled([['soil-relay', 0], ['soil-relay', 1], ['soil-relay', 2], ['soil-relay', 3], ['soil-relay', 4]] as const, 1),
  ])('on the %s, for the fault drawn by seed %d: it tells all that can be told, and nothing smaller does', (folder, seed) => {
    const board = sampleBoard(folder)
    const hidden = drawFaults(board, seededRandom(seed))
    const way = shortestWay(board, hidden)
    const telling = tells(board, hidden, closeFigures)
    expect([faultText(hidden[0] ?? { ref: '', pin: null, kind: 'open' }), way.shows, way.exact, telling(placesOf(board, way.steps))]).toEqual([expect.any(String), true, true, true])
    const smaller = combinations(steps(board).map((_, at) => at), way.steps.length - 1)
    expect(smaller.filter(telling), `${faultText(hidden[0] ?? { ref: '', pin: null, kind: 'open' })}: ${way.steps.join(' ')}`).toEqual([])
  })

  it('on the soil relay without a fault: the least set that would show any', () => {
    const board = sampleBoard('soil-relay')
    const way = shortestWay(board, [], usualFigures)
    expect(way.steps.length).toBe(bruteForce(board, [], usualFigures, steps(board).length))
  })
})

describe('on the shipped boards, for whoever reads it', () => {
  const way = (folder: 'vent-driver-node' | 'soil-relay', ...faults: string[]) => {
    const board = sampleBoard(folder)
    const { steps: taken, alike } = shortestWay(board, faultsOf(board, ...faults))
    return [taken, [...new Set(alike.map(refOf))]]
  }
  it.each(sampled<[string, string[], string[]]>([
    ['R4:open', ['r4'], []], ['T1.1:open', ['t1-a'], []],
    // A leak at the input of U2 and one of D4 meet on the same net but for one winding.
    ['U2.A:leaky=1910', ['d4-reverse', 'u2-a'], ['D4', 'U2']],
  ], 1))('vent driver node, %s: %j', (fault, taken, alike) => expect(way('vent-driver-node', fault)).toEqual([taken, alike]), 30_000)
  it.each(sampled<[string, string[], string[]]>([['K1:open', ['k1'], ['K1']], ['D3:open', ['d3-forward'], ['D3']], ['C1:short', ['supply-pair'], ['D2', 'R1', 'U1']]], 1))('soil relay, %s: %j', (fault, taken, alike) =>
    expect(way('soil-relay', fault)).toEqual([taken, alike]), 30_000)
})

describe('what one step tells apart', () => {
  const step: MeasureStep = { kind: 'measure', id: 's', title: 's', red: 'A', black: 'B', function: 'resistance', limits: { nominal: 100, tolerance: 0.1 }, parts: [], then: [] }
  it('inside from outside, open from a figure, and figures further apart than the tolerance', () => {
    expect([toldApart(step, 'inside', 200), toldApart(step, 'inside', 'overload'), toldApart(step, 'overload', 200), toldApart(step, 200, 300)]).toEqual([true, true, true, true])
  })
  it('not two inside, not two open, not figures as close as 1.1 / 0.9, not tenths of an ohm, and nothing that is not known', () => {
    expect([toldApart(step, 'inside', 'inside'), toldApart(step, 'overload', 'overload'), toldApart(step, 200, 244), toldApart(step, 0.05, 0.3), toldApart(step, null, 200)]).toEqual([false, false, false, false, false])
    expect(toldApart(step, 200, 245)).toBe(true)
  })
  it('is the same whichever way round', () => {
    const shown = fc.oneof(fc.constantFrom('inside' as const, 'overload' as const, null), fc.double({ min: -10, max: 1e6, noNaN: true }))
    fc.assert(fc.property(shown, shown, (a, b) => { expect(toldApart(step, a, b)).toBe(toldApart(step, b, a)) }), { seed: 3, numRuns: 300 })
  })
})
