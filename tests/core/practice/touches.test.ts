import { describe, expect, it } from 'vitest'
import type { ShortestWay } from '../../../src-core/circuit/shortest-way'
import { shortestInWords, touchesMade } from '../../../src-core/practice/touches'
import { seconds } from '../../../src-core/quantity/units'
import type { RunEvent } from '../../../src-core/run/event'
import { faultsOf, sampleBoard } from '../circuit/sample'

const board = sampleBoard()
const touch = (step: string, seq: number): RunEvent => ({
  v: 1, run: '00000000-0000-4000-8000-000000000001', session: '00000000-0000-4000-8000-000000000002', utc: '2026-01-01T00:00:00.000Z', at: seconds(seq), seq,
  kind: 'captured', step, touch: 1, function: 'resistance', range: null, resolution: null, unit: 'Ω', value: 220, median: null, sd: null, conversions: 3, seconds: 1, raw: [],
  uncertainty: null, limits: { atMost: 1 }, rule: { kind: 'simple-acceptance', r: 0 }, verdict: 'fail', evidence: 'steady',
})
const undone: RunEvent = { ...touch('r4', 9), kind: 'undone', to: 1 } as RunEvent
const events = [touch('prepare/leads', 1), touch('r4', 2), touch('r4', 3), touch('r3', 4), undone]
const way = (change: Partial<ShortestWay>): ShortestWay => ({ steps: ['r4'], shows: true, exact: true, alike: [], ...change })
const words = (change: Partial<ShortestWay>, ...faults: string[]): string => shortestInWords(board, faultsOf(board, ...faults), way(change), events)

describe('the touches of a practice run', () => {
  it('are all captured values, those measured again or taken back as well, the preparation apart', () => expect(touchesMade(events)).toEqual({ steps: 3, preparation: 1 }))
})

describe('the shortest way in one sentence', () => {
  it('says the touches made, the few that would have done, and which', () =>
    expect(words({ steps: ['d4-reverse', 'u2-a'] }, 'U2.A:short')).toBe('You made 3 touches, and 1 in the preparation; 2 would have shown it: D4 reverse, U2 input A.'))
  it('says what the sequence cannot tell it from, but not the part itself', () =>
    expect(words({ alike: faultsOf(board, 'D4:leaky=100', 'R4:drifted=2', 'C8:short', 'D4:short') }, 'R4:open')).toBe('You made 3 touches, and 1 in the preparation; 1 would have shown it, as far as this sequence can tell it from D4 or C8: R4 series A.'))
  it('names four steps at most and counts the rest', () =>
    expect(words({ steps: ['f1', 'r4', 'r3', 'r7', 'd1', 'u2-a'] })).toBe('You made 3 touches, and 1 in the preparation; 6 would have shown that nothing is wrong: F1 fuse, R4 series A, R3 series B and 3 more.'))
  it('does not claim a smallest set where none was proven', () => expect(words({ exact: false }, 'R4:open')).toMatch(/; at most 1 would have shown it: R4 series A\.$/))
  it('says so where no step shows the fault', () => expect(words({ steps: [], shows: false }, 'D1:open')).toBe('You made 3 touches, and 1 in the preparation; no step of this sequence shows the fault.'))
  it('says so where it could not be computed, rather than nothing', () => {
    expect(shortestInWords(board, faultsOf(board, 'R4:open'), 'failed', events)).toBe('You made 3 touches, and 1 in the preparation; how few would have shown it could not be computed.')
    expect(shortestInWords(board, [], 'failed', [touch('r4', 1)])).toBe('You made 1 touch; how few would have shown that nothing is wrong could not be computed.')
  })
  it('a run without preparation says nothing of it, and one touch is one', () =>
    expect(shortestInWords(board, faultsOf(board, 'R4:open'), way({}), [touch('r4', 1)])).toBe('You made 1 touch; 1 would have shown it: R4 series A.'))
})
