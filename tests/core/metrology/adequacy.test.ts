import { describe, expect, it } from 'vitest'
import { boardType } from '../../../src-core/board/board-type'
import { blankRegisterEntry } from '../../../src-core/meter/register'
import { adequacy, countAt, tooCoarseSteps } from '../../../src-core/metrology/adequacy'

const display = { lowestRange: 600, counts: 6000 }

describe('one count on the range that shows a value', () => {
  it.each([[0, 0.1], [220, 0.1], [600, 0.1], [601, 1], [4700, 1], [1.2e6, 1000]])('%d Ω: %d Ω', (value, count) => {
    expect(countAt(value, display)).toBeCloseTo(count, 9)
  })
})

describe('limits against the meter', () => {
  it('220 Ω ± 5 % is too close for a generic meter and wide enough for one of 0.5 % and 2 counts', () => {
    expect(adequacy({ nominal: 220, tolerance: 0.05 }, display, { function: 'resistance', accuracy: null })?.enough).toBe(false)
    expect(adequacy({ nominal: 220, tolerance: 0.05 }, display, { function: 'resistance', accuracy: { percent: 0.5, counts: 2 } })?.enough).toBe(true)
  })
  it('turns at a width of 3 times 2U', () => {
    const U = adequacy({ between: [100, 200] }, display, { function: 'resistance', accuracy: null })?.U ?? NaN
    expect(adequacy({ between: [200 - 6.01 * U, 200] }, display, { function: 'resistance', accuracy: null })?.enough).toBe(true)
    expect(adequacy({ between: [200 - 5.99 * U, 200] }, display, { function: 'resistance', accuracy: null })?.enough).toBe(false)
  })
  it('says nothing of limits that have no width', () => {
    for (const limits of ['open', 'short', { atMost: 2 }, { atLeast: 2 }] as const) expect(adequacy(limits, display, { function: 'resistance', accuracy: null })).toBeNull()
  })
  it('names the steps of a board in their order, and passes over functions the meter has not', () => {
    const measure = { kind: 'measure', title: 'R', red: 'P1', black: 'P2' }
    const board = boardType.parse({
      schema: 'probewright/board-type/1', id: 'test-board', name: 'Test board', revision: 'A', hazard: 'extra-low',
      mainsReferenced: false, pictures: [], nets: [], testPoints: [], parts: [], energyStores: [], disconnect: [],
      sequence: { id: 's', version: 1, steps: [
        { ...measure, id: 'tight', function: 'resistance', limits: { nominal: 220, tolerance: 0.01 } },
        { kind: 'look', id: 'look', title: 'Look', words: 'burnt?' },
        { ...measure, id: 'wide', function: 'resistance', limits: { between: [100, 400] } },
        { ...measure, id: 'cap', function: 'capacitance', limits: { nominal: 1e-7, tolerance: 0.01 } },
        { ...measure, id: 'tighter', function: 'resistance', limits: { nominal: 4700, tolerance: 0.01 } },
      ] },
    })
    const functions = { RES: { is: 'resistance' as const, ...display } }
    expect(tooCoarseSteps(board, { accuracy: {}, register: blankRegisterEntry }, { functions })).toEqual(['tight', 'tighter'])
    expect(tooCoarseSteps(board, { accuracy: { resistance: { percent: 0.05, counts: 2 } }, register: blankRegisterEntry }, { functions })).toEqual([])
  })
})
