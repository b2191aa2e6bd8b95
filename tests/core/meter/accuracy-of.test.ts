/** Accuracy by range, as a data sheet states it: one line a range, read by the range the meter is on. */
import { describe, expect, it } from 'vitest'
import { accuracyOf, type StatedAccuracy } from '../../../src-core/meter/accuracy-of'
import { blankRegisterEntry, type RangeAccuracy } from '../../../src-core/meter/register'
import { tooCoarseSteps } from '../../../src-core/metrology/adequacy'
import { checkedMeter, play, smallBoard } from '../run/a-run'

const ohms = (range: number, percent: number, counts: number): RangeAccuracy => ({ function: 'resistance', range, percent, counts })
const stated = (ranges: RangeAccuracy[], accuracy: StatedAccuracy['accuracy'] = {}): StatedAccuracy => ({ accuracy, register: { ...blankRegisterEntry, ranges } })
/** Not in the order of their size. */
const ranges = [ohms(6e6, 1.5, 3), ohms(600, 0.9, 2), ohms(6000, 0.5, 2)]

describe('accuracy of a range', () => {
  it.each([
    [600, 0.9], [599.9, 0.9], [600.3, 0.9], [601, 0.5], [6000, 0.5], [60_000, 1.5], [6e6, 1.5],
    // A lower range that the data sheet does not list lies within the lowest one it does.
    [60, 0.9],
  ])('on the %d Ω range it is that of the smallest listed range that reaches so far: %d %%', (range, percent) => {
    expect(accuracyOf(stated(ranges), 'resistance', range)?.percent).toBe(percent)
  })
  it('above every listed range, and where the range is not told, what holds for the function holds', () => {
    const both = stated(ranges, { resistance: { percent: 2, counts: 5 } })
    expect(accuracyOf(both, 'resistance', 6e7)).toEqual({ percent: 2, counts: 5 })
    expect(accuracyOf(both, 'resistance', null)).toEqual({ percent: 2, counts: 5 })
    expect(accuracyOf(both, 'resistance', 600)).toEqual({ percent: 0.9, counts: 2 })
  })
  it('is unknown, and so generic, where neither is entered', () => {
    expect(accuracyOf(stated(ranges), 'resistance', 6e7)).toBeNull()
    expect(accuracyOf(stated(ranges), 'diode', 6)).toBeNull()
    expect(accuracyOf(stated([]), 'resistance', 600)).toBeNull()
  })
})

describe('where it is used', () => {
  const meter = { ...checkedMeter, register: { ...blankRegisterEntry, ranges } }
  it('a captured value bears the uncertainty of the range it was shown on', () => {
    const bench = play(smallBoard(), meter)
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 221.4)
    const captured = bench.events().find((event) => event.kind === 'captured' && event.step === 'r1')
    // By hand: accuracy ± (0.9 % · 221.4 + 2 · 0.1) = ± 2.19 Ω, half a count ± 0.05 Ω: √(2.19² + 0.05²)/√3 = 1.2662 Ω, and the lead
    // check's own 0.025 Ω: u_c = 1.2665 Ω. The first is rectangular and rules, so k·u_c is 95 % of it and a little (EA-4/02); the leads' 0.1 Ω,
    // which above 100 Ω stay in the value, shift it and are added.
    expect(captured).toMatchObject({ range: 600, uncertainty: { basis: 'budget' }, budget: { combined: expect.closeTo(1.2665, 3) as number, coverage: { by: 'dominated' } } })
    expect(captured?.kind === 'captured' ? captured.uncertainty?.U : null).toBeCloseTo(0.95 * 2.1926 + 0.1, 1)
  })
  it('a step is good enough or not by the range its limits are shown on', () => {
    const functions = { RES: { is: 'resistance' as const, lowestRange: 600, counts: 6000 } }
    const board = smallBoard()
    const coarse = { ...meter, register: { ...meter.register, ranges: [ohms(600, 3, 10), ohms(6000, 0.1, 1)] } }
    expect(tooCoarseSteps(board, meter, { functions })).toEqual([])
    expect(tooCoarseSteps(board, coarse, { functions })).toEqual(['r1'])
  })
})
