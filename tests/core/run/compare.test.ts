/** Two runs side by side. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { BoardType } from '../../../src-core/board/board-type'
import { combinedUncertainty, compareRuns } from '../../../src-core/run/compare'
import { comparison, type Comparison } from '../../../src-core/run/compare-view'
import type { RunEvent } from '../../../src-core/run/event'
import { rebuild, type RunState } from '../../../src-core/run/state'
import { play, smallBoard } from './a-run'

const other = '99999999-2222-4333-8444-555555555555'
const asOther = (events: RunEvent[]): RunState => rebuild(events.map((event) => ({ ...event, run: other })))

const played = (ohms: number, diode: 'open' | number, board: BoardType = smallBoard()) => {
  const bench = play(board)
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  bench.touch('resistance', ohms)
  if (diode === 'open') bench.open('diode')
  else { bench.touch('diode', diode); bench.touch('diode', diode) }
  return bench.events()
}

const compared = (first: RunEvent[], second: RunEvent[], boards: [BoardType | null, BoardType | null] = [smallBoard(), smallBoard()]): Comparison => {
  const done = compareRuns({ state: rebuild(first), board: boards[0] }, { state: asOther(second), board: boards[1] })
  if ('refused' in done) throw new Error(done.refused)
  expect(comparison.parse(done.comparison)).toEqual(done.comparison)
  return done.comparison
}
const stepIn = (both: Comparison, id: string) => both.steps.find((step) => step.id === id)

describe('two runs of one board type', () => {
  it('agree where they are not further apart than their combined uncertainty', () => {
    const both = compared(played(220.0, 'open'), played(221.4, 'open'))
    expect(stepIn(both, 'r1')).toMatchObject({ agreement: 'agree', flagged: false, difference: { words: '+1.4 Ω', percent: 0.64 } })
    expect(stepIn(both, 'd1')).toMatchObject({ agreement: 'both-open', difference: null, flagged: false })
    expect(both.flagged).toBe(0)
    expect(both.caution).toBe('')
  })

  it('are flagged where they are further apart, though both pass', () => {
    const both = compared(played(212.0, 'open'), played(228.0, 'open'))
    expect(stepIn(both, 'r1')).toMatchObject({ agreement: 'differ', verdictsDiffer: false, flagged: true, difference: { words: '+16 Ω' } })
    expect(stepIn(both, 'r1')?.difference?.si).toBeCloseTo(16, 6)
    expect(both.flagged).toBe(1)
  })

  it('are flagged where one is open and the other is not', () => {
    const both = compared(played(220, 'open'), played(220, 0.61))
    expect(stepIn(both, 'd1')).toMatchObject({ agreement: 'one-open', difference: null, verdictsDiffer: true, flagged: true })
    expect(stepIn(both, 'd1')?.says).toBe('one is open or over range, verdicts differ')
  })

  it('the other way round gives the same step by step, with the sign turned', () => {
    const [first, second] = [played(212.0, 'open'), played(228.0, 0.61)]
    const turned = compared(second, first)
    for (const step of compared(first, second).steps) {
      const twin = stepIn(turned, step.id)
      expect([twin?.agreement, twin?.flagged, twin?.combined]).toEqual([step.agreement, step.flagged, step.combined])
      expect(twin?.difference?.si ?? 0).toBeCloseTo(-(step.difference?.si ?? 0), 9)
    }
  })

  it('of two revisions are compared by step where function and points agree; the others are listed with the reason', () => {
    const moved = smallBoard({ revision: 'B', sequence: { id: 'input', version: 2, steps: [
      { kind: 'look', id: 'look', title: 'Look', words: 'Anything burnt?' },
      { kind: 'measure', id: 'r1', title: 'R1', red: 'J1.1', black: 'C1.2', function: 'resistance', limits: { nominal: 220, tolerance: 0.05 }, parts: ['R1'] },
      { kind: 'measure', id: 'd1', title: 'D1 reverse', red: 'R1.2', black: 'C1.2', function: 'diode', limits: 'open', parts: ['D1'] },
      { kind: 'measure', id: 'extra', title: 'Extra', red: 'R1.2', black: 'C1.2', function: 'resistance', limits: { atLeast: 1000 }, parts: [] },
    ] } })
    const second = play(moved)
    second.confirm(); second.open('dc-voltage'); second.confirm(); second.touch('resistance', 220)
    const both = compared(played(220, 'open'), second.events(), [smallBoard(), moved])
    expect(both.steps.map(({ id }) => id)).toEqual(['look', 'd1'])
    expect(both.notComparable).toEqual([
      { id: 'r1', title: 'R1', because: 'red J1.1, black R1.2 in the first, red J1.1, black C1.2 in the second' },
      { id: 'extra', title: 'Extra', because: 'only in the second run’s sequence' },
    ])
    expect(both.caution).toMatch(/^Revision A and revision B/)
    expect(stepIn(both, 'd1')).toMatchObject({ agreement: 'one-only', flagged: false })
  })

  it('of two board types, of one run twice, or without a board file are refused in a sentence', () => {
    const first = { state: rebuild(played(220, 'open')), board: smallBoard() }
    const elsewhere = smallBoard({ id: 'fan-node', name: 'Fan node' })
    const namesake = smallBoard({ id: 'fan-node' })
    expect(compareRuns(first, { state: asOther(played(220, 'open', elsewhere)), board: elsewhere })).toEqual({ refused: expect.stringContaining(`two board types, ${first.board.name} and Fan node.`) })
    expect(compareRuns(first, { state: asOther(played(220, 'open', namesake)), board: namesake })).toEqual({ refused: expect.stringContaining(`${first.board.name} (soil-probe) and ${first.board.name} (fan-node).`) })
    expect(compareRuns(first, first)).toEqual({ refused: expect.stringContaining('one run twice') })
    expect(compareRuns(first, { state: asOther(played(220, 'open')), board: null })).toEqual({ refused: expect.stringContaining('board file') })
  })
})

describe('the uncertainty of a difference', () => {
  const of = (U: number, k = 2) => ({ U, k, basis: 'specification' as const })
  it('is the root of the sum of squares (JCGM 100:2008, 5.1.2): 3 and 4 give 5, whatever their k', () => {
    expect(combinedUncertainty(of(3), of(4))).toBeCloseTo(5, 12)
    expect(combinedUncertainty(of(1.5, 1), of(4))).toBeCloseTo(5, 12)
    expect(combinedUncertainty(null, of(4))).toBeNull()
  })

  it('flags exactly where |En| > 1 (ISO/IEC 17043:2010, B.3.1.3, En = difference over √(U² + U²); clause from memory)', () => {
    fc.assert(fc.property(fc.double({ min: 210, max: 230, noNaN: true }), fc.double({ min: 210, max: 230, noNaN: true }), (a, b) => {
      const with1 = (ohms: number, run: string) => rebuild(base.map((event) => ({ ...(event.kind === 'captured' && event.step === 'r1' ? { ...event, value: ohms, uncertainty: of(4.4) } : event), run })))
      const done = compareRuns({ state: with1(a, other), board: smallBoard() }, { state: with1(b, '88888888-2222-4333-8444-555555555555'), board: smallBoard() })
      if ('refused' in done) throw new Error(done.refused)
      const En = (b - a) / Math.sqrt(4.4 ** 2 + 4.4 ** 2)
      expect(done.comparison.steps.find(({ id }) => id === 'r1')?.agreement).toBe(Math.abs(En) > 1 ? 'differ' : 'agree')
    }), { numRuns: 200 })
  })
  const base = played(220, 'open')
})
