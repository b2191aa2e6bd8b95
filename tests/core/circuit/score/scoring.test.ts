/** The scorer itself: that it counts what it says, before any diagnosis is judged by it. */
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import type { Diagnosis, PartReport } from '../../../../src-core/circuit/diagnosis'
import { allowedFaults, type Fault, parseFaults } from '../../../../src-core/circuit/faults'
import { seededRandom } from '../../../../src-core/circuit/seeded-random'
import { usualFigures } from '../../../../src-core/circuit/usual-faults'
import { possibleFaults } from './possible-faults'
import { expandedUncertainty, genericAccuracy } from '../../../../src-core/metrology/uncertainty'
import { type Diagnoser, probeAdaptively } from './adaptive'
import { baselinesOf, effortOf, greedyCover } from './baselines'
import { betterMeter, countAt, drawGains, genericMeter, shownOf, uOf } from './bench-meter'
import { scoredBoards } from './boards'
import { drawBoard, type DrawnBoard, plain } from './drawn-board'
import { exactness, reportedWitnessFits, visibleFaults } from './exact'
import { allowedPlacements } from './placements'
import { reliabilityTable, type Statement, worstBin } from './reliability'
import { scoreDrawn, totalsOf } from './score'
import { scoringSeeds, tuningSeeds } from './seeds'
import { apart, nominal, readingsAt, stateReader } from './state-readings'
import { twists } from './twists'
import { findWitness } from './witness'

const boards = scoredBoards(fileURLToPath(new URL('../../../..', import.meta.url)))
const node = boards.find(({ id, revision }) => id === 'vent-driver-node' && revision === 'C') ?? boards[0]
if (node === undefined) throw new Error('There are no sample boards.')
/** Boards whose baselines are found in a blink. */
const small = boards.filter(({ parts }) => parts.length < 20)
const still = (): number => 0

const faultsOn = (...texts: string[]): Fault[] => {
  const parsed = parseFaults(node, texts)
  if ('problems' in parsed) throw new Error(parsed.problems.join(' '))
  return parsed.faults
}

/** The node with these faults, all else at its nominal value. */
const nodeWith = (...texts: string[]): DrawnBoard => {
  const placements = allowedPlacements(node)
  const faults = faultsOn(...texts).flatMap((fault) => (fault.kind === 'bridge' ? [] : [fault]))
  const truth = readingsAt(stateReader(node, faults, nominal), placements, nominal.drives)
  return { ...drawBoard([node], 3), faults, circumstances: nominal, placements, truth }
}

const saying = (drawn: DrawnBoard, say: (ref: string, broken: boolean) => Pick<PartReport, 'report' | 'probability'>): Diagnoser => () => {
  const broken = new Set(drawn.faults.map(({ ref }) => ref))
  const parts = drawn.board.parts.filter(({ kind }) => allowedFaults(kind).length > 0)
    .map(({ ref }): PartReport => ({ ref, ...say(ref, broken.has(ref)), kinds: [], maskedBy: [], unmask: null, witness: null }))
  return { parts, classes: [{ sets: [drawn.faults], probability: 1 }], next: [], notes: [] } satisfies Diagnosis
}

describe('what is drawn', () => {
  it('the same seed draws the same board, another seed another', () => {
    const [once, again, other] = [drawBoard(boards, 41), drawBoard(boards, 41), drawBoard(boards, 41 + boards.length)]
    expect([again.faults, again.circumstances.spread, [...again.truth]]).toEqual([once.faults, once.circumstances.spread, [...once.truth]])
    expect([again.touch(5), again.touch(6)]).toEqual([once.touch(5), once.touch(6)])
    expect([...other.truth]).not.toEqual([...once.truth])
  })
  it('one to five faults equally often, on every board, and stray leakage on a fifth', () => {
    const drawn = tuningSeeds(300).map((seed) => drawBoard(small, seed))
    // 60 of 300 each; four standard deviations are 28.
    for (let count = 1; count <= 5; count += 1) expect(Math.abs(drawn.filter(({ faults }) => faults.length === count).length - 60)).toBeLessThan(28)
    expect(Math.abs(drawn.filter(({ circumstances }) => circumstances.strays.length > 0).length - 60)).toBeLessThan(28)
    expect(new Set(tuningSeeds(boards.length).map((seed) => drawBoard(boards, seed).board)).size).toBe(boards.length)
  })
  it('tilted odds make some kinds of part fail more often and others less, meter sources stay within their share', () => {
    const [odds, source] = twists
    if (odds === undefined || source === undefined) throw new Error('There are no twists.')
    const countOf = (twist: typeof plain): string => JSON.stringify(tuningSeeds(60).map((seed) => drawBoard(small, seed, twist).faults))
    expect(countOf(odds)).not.toBe(countOf(plain))
    for (const seed of tuningSeeds(20)) {
      const { circumstances: { drives }, told } = drawBoard(small, seed, source)
      const [own, said] = [drives.diode.ranges[0], told.diode.ranges[0]]
      expect(Math.abs((own?.volts ?? 0) / (said?.volts ?? 1) - 1)).toBeLessThanOrEqual(0.3)
      expect(own).not.toEqual(said)
    }
  })
  it('seeds for tuning and for scoring are apart, and a seed among those for tuning is refused', () => {
    const scoring = new Set(scoringSeeds(20_260, 1000))
    expect(tuningSeeds(10_000).filter((seed) => scoring.has(seed))).toEqual([])
    expect(() => scoringSeeds(100, 10)).toThrow(/for tuning/)
    expect(() => scoringSeeds(20_260, 20_000)).toThrow(/10000 boards/)
  })
})

describe('the meter', () => {
  it('states the uncertainty of design.md: half of the expanded one of the same accuracy, with its noise', () => {
    for (const value of [0.4, 33, 598, 4700, 2.2e6]) {
      const count = countAt(genericMeter, 'resistance', value)
      expect(2 * uOf(genericMeter, 'resistance', value)).toBeCloseTo(expandedUncertainty(value, count, 0.3 * count, genericAccuracy)?.U ?? NaN, 9)
    }
    expect(uOf(betterMeter, 'diode', 0.6)).toBeLessThan(uOf(genericMeter, 'diode', 0.6) / 2)
  })
  it('shows within its stated accuracy, noise and rounding aside, and off to the same side within a range', () => {
    for (const seed of tuningSeeds(40)) {
      const random = seededRandom(seed)
      const gains = drawGains(genericMeter, random)
      const off = [2000, 4000].map((value) => {
        const shown = Array.from({ length: 200 }, () => shownOf(genericMeter, gains, 'resistance', value, random))
        for (const one of shown) expect(Math.abs(one - value)).toBeLessThan(0.015 * value + 5 + 0.5 + 5 * 0.3)
        return shown.reduce((sum, one) => sum + one, 0) / shown.length / value - 1
      })
      // The mean of 200 offsets within ± 5 counts has a standard deviation of 0.2 counts: 0.01 % here.
      expect(Math.abs((off[0] ?? 0) - (off[1] ?? 0))).toBeLessThan(0.0006)
    }
  })
})

describe('reliability', () => {
  const statements = (count: number, honest: (stated: number) => number): Statement[] => {
    const random = seededRandom(9)
    return Array.from({ length: count }, () => { const stated = random() ** 3; return { stated, true: random() < honest(stated) } })
  }
  it('is ten bins of 150 or more that hold every statement once', () => {
    const table = reliabilityTable(statements(4000, (stated) => stated))
    expect(table.map(({ count }) => count >= 150)).toEqual(new Array(10).fill(true))
    expect(table.reduce((sum, { count }) => sum + count, 0)).toBe(4000)
    expect(reliabilityTable(statements(400, (stated) => stated)).length).toBe(2)
    expect(reliabilityTable([])).toEqual([])
  })
  it('has small gaps for true chances, and a gap for chances stated too high', () => {
    // The largest of ten normal deviates lies below 3.7 in 99.8 % of cases.
    expect(worstBin(reliabilityTable(statements(4000, (stated) => stated)))).toBeLessThan(3.7)
    expect(worstBin(reliabilityTable(statements(4000, (stated) => stated / 2)))).toBeGreaterThan(6)
  })
  it('a binomial share has the interval of Wilson: 3 of 150 is 0.68 % to 5.71 % (reckoned by hand from the formula)', () => {
    const [bin] = reliabilityTable(Array.from({ length: 150 }, (_, at) => ({ stated: 0.02, true: at < 3 })))
    expect(bin?.interval[0]).toBeCloseTo(0.0068, 4)
    expect(bin?.interval[1]).toBeCloseTo(0.0571, 4)
  })
})

describe('witnesses and classes', () => {
  it('a protector that failed open has one, a series resistor that failed open has none', () => {
    expect(findWitness(nodeWith('D1:open'), 'D1')).toEqual({ faults: [] })
    expect(findWitness(nodeWith('R4:open'), 'R4')).toBeNull()
    expect(findWitness(nodeWith(), 'R4')).toBeNull()
  })
  it('a part beside one that is short has the other being short in its place', () => {
    const drawn = nodeWith('D3:short')
    expect(findWitness(drawn, 'D3')?.faults.map((fault) => ('ref' in fault ? fault.ref : ''))).toEqual(['C8'])
    expect(findWitness(drawn, 'R9')).not.toBeNull()
  })
  it('a reported one counts as the step it names, taken from the board as it is: what else is broken there takes nothing from it', () => {
    const drawn = nodeWith('D3:short', 'R4:open')
    const fits = (likely: string, other: string, ref = 'D3'): boolean => reportedWitnessFits(drawn, {
      classes: [], next: [], notes: [],
      parts: [{ ref, report: 'masked', probability: 0.5, kinds: [], maskedBy: [], unmask: null, witness: { likely: faultsOn(likely), other: faultsOn(other) } }],
    }, ref)
    expect([fits('D3:short', 'C8:short'), fits('C8:short', 'D3:short'), fits('C8:short', 'D3:short', 'C8')]).toEqual([true, true, true])
    expect([fits('D3:short', 'F1:open'), fits('D3:short', 'C8:open'), fits('D3:short', 'C8:short', 'R4')]).toEqual([false, false, false])
  })
  it('faults that show nowhere are left out before sets are compared', () => {
    expect(visibleFaults(nodeWith('R4:open', 'C8:open'))).toEqual(faultsOn('R4:open'))
    expect(visibleFaults(nodeWith('D1:open'))).toEqual([])
  })
  it('the drawn set is listed; a set that reads the same once its figure fits is alike; any other is not', () => {
    const drawn = nodeWith('R5:drifted=2')
    expect(exactness(drawn, [faultsOn('R5:drifted=3')])).toBe('listed')
    expect(exactness(nodeWith('R5:drifted=0.5'), [faultsOn('R5:leaky=700')])).toBe('alike')
    expect(exactness(drawn, [faultsOn('R6:drifted=2')])).toBe('other')
    expect(exactness(drawn, [[]])).toBe('other')
    expect(exactness(drawn, undefined)).toBe('other')
  })
})

describe('baselines', () => {
  it('the detecting set shows every fault that any placement shows, the separating set every pair', () => {
    const placements = allowedPlacements(node)
    const { partByPart, detecting, separating } = baselinesOf(node)
    const read = (faults: Fault[]): Float64Array => readingsAt(stateReader(node, faults, nominal), placements, nominal.drives)
    const good = read([])
    const differAt = (a: Float64Array, b: Float64Array, through: Iterable<number>): boolean => [...through].some((index) => {
      const at = placements[index]
      return at !== undefined && apart(genericMeter, at, a[index] ?? NaN, b[index] ?? NaN, nominal.drives) > 3
    })
    const states = possibleFaults(node, usualFigures).map((fault) => read([fault]))
    for (const state of states) expect(differAt(good, state, detecting)).toBe(differAt(good, state, placements.keys()))
    const [short, leaky] = [read(faultsOn('D4:short')), read(faultsOn('D5:short'))]
    expect(differAt(short, leaky, separating)).toBe(true)
    expect([detecting.length < separating.length, separating.length < placements.length / 4]).toEqual([true, true])
    // F1 alone, R4 alone, D4 both ways: what anybody would measure.
    const has = (red: string, black: string, what: string): boolean => partByPart.some((index) => {
      const at = placements[index]
      return at?.function === what && [at.redNet, at.blackNet].sort().join(' ') === [red, black].sort().join(' ')
    })
    expect([has('V24_IN', 'V24_F', 'resistance'), has('A_IN', 'A', 'resistance'), has('GND', 'A', 'diode'), has('A_IN', 'A', 'diode')]).toEqual([true, true, true, false])
  })
  it('a cover takes what meets most first, and leaves what nothing meets', () => {
    const demands = [[1, 0, 0], [1, 1, 0], [0, 1, 0], [0, 1, 0], [0, 0, 0]].map((row) => Uint8Array.from(row))
    expect(greedyCover(demands, 3)).toEqual([1, 0])
  })
  it('counts readings, presses and turns of the dial', () => {
    const taken = [{ function: 'resistance', value: 5 }, { function: 'diode', value: 'overload' as const }, { function: 'resistance', value: 'overload' as const }]
    expect(effortOf(taken)).toEqual({ touches: 3, confirmations: 2, dialTurns: 2 })
  })
})

describe('scores', () => {
  const drawn = tuningSeeds(6).map((seed) => drawBoard(small, seed))
  const totals = (say: Parameters<typeof saying>[1], of = drawn): ReturnType<typeof totalsOf> =>
    totalsOf(of.map((one) => scoreDrawn(one, saying(one, say), still)))

  it('one who knows the truth is never wrong', () => {
    expect(totals((_, broken) => ({ report: broken ? 'faulty' : 'good', probability: broken ? 1 : 0 })))
      .toMatchObject({ boards: 6, faultyCalledGoodPct: 0, goodCalledFaultyPct: 0, faultyCalledFaultyPct: 100, goodCalledGoodPct: 100, exactFirstPct: 100, groupMean: 1 })
  })
  it('one who calls everything good misses every fault, one who calls everything faulty every good part', () => {
    expect(totals(() => ({ report: 'good', probability: 0.1 }))).toMatchObject({ faultyCalledGoodPct: 100, goodCalledFaultyPct: 0 })
    expect(totals(() => ({ report: 'faulty', probability: 0.9 }))).toMatchObject({ faultyCalledGoodPct: 0, goodCalledFaultyPct: 100 })
  })
  it('one who hides behind “masked” is found out, part by part', () => {
    const { masked, maskedWithoutWitness } = totals(() => ({ report: 'masked', probability: 0.5 }), drawn.slice(0, 2))
    expect(masked).toBeGreaterThan(20)
    expect(maskedWithoutWitness / masked).toBeGreaterThan(0.3)
  })
  it('probing follows what is asked for, and ends where something is asked that is not allowed', () => {
    const one = nodeWith('R4:open')
    const asked = [{ red: 'J1.1', black: 'R4.2', function: 'resistance' }, { red: 'R4.2', black: 'J1.1', function: 'diode' }, { red: 'J1.1', black: 'R4.2', function: 'capacitance' }] as const
    const seen: number[] = []
    const { taken, ended } = probeAdaptively(one, (_, file) => {
      seen.push(file.readings.length)
      const placement = asked[file.readings.length]
      return { parts: [], classes: [], notes: [], next: placement === undefined ? [] : [{ action: { kind: 'measure', placement }, bits: 1, effort: 1, why: '' }] }
    }, still)
    expect([seen, taken.map(({ function: what }) => what), ended]).toEqual([[0, 1, 2], ['resistance', 'diode'], 'asked for what is not allowed'])
  })
})
