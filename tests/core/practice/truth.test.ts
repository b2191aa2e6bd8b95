/** What a practice run tells at its end of the faults that were hidden, repaired ones too. */
import { describe, expect, it } from 'vitest'
import { hiddenAfter } from '../../../src-core/practice/board-now'
import { truthInWords } from '../../../src-core/practice/truth'
import type { RunEvent } from '../../../src-core/run/event'
import { mistValve } from '../../bench-tools/small-board'

type Started = Extract<RunEvent, { kind: 'started' }>
const told = (practice: Started['practice']): string | null => truthInWords({ started: { practice } as Started, events: [] }, mistValve, 'sought')
const replaced = (part: string) => ({ part, action: 'replaced' as const })

describe('the end of a practice run', () => {
  it('names what was hidden, or that nothing was', () => {
    expect(told({ seed: 1, faults: [] })).toBe('The practice board had no fault.')
    expect(told({ seed: 1, faults: ['R1:open', 'D1:short'] })).toMatch(/^Hidden in the practice board: R1 is open; D1 is shorted.*\.$/)
    expect(told(undefined)).toBeNull()
  })

  it('after a repair tells what the board had, and what it still has', () => {
    const both = { seed: 1, faults: ['R1:open', 'D1:open'] }
    const one = hiddenAfter(mistValve, both, [replaced('R1')])
    expect(one).toEqual({ seed: 1, faults: ['D1:open'], repaired: ['R1:open'] })
    expect(told(one)).toBe('Hidden in the practice board: D1 is open. Repaired by now: R1 is open.')
    const none = hiddenAfter(mistValve, one, [replaced('D1')])
    expect(told(none)).toBe('The practice board had these faults: R1 is open; D1 is open. They are repaired now.')
    expect(hiddenAfter(mistValve, both, [])).toEqual(both)
  })
})
