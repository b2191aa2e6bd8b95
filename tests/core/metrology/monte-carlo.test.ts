/** A sample of the long check beside this file: same code, same pass mark, fewer draws. */
import { describe, expect, it } from 'vitest'
import { studentFactor } from '../../../src-core/metrology/student'
import type { ValueFacts } from '../../../src-core/metrology/value-budget'
import { agreementOf, drawnHalfWidth, itemsWithin, numericalTolerance } from './monte-carlo'

describe('the draws themselves', () => {
  const part = { what: 'x', from: '', sensitivity: -2, unit: 'V' } as const
  it('hold a rectangle, and a t of 9 degrees of freedom, where their formulas put them', () => {
    const flat = drawnHalfWidth([{ ...part, kind: 'B', degrees: null, spread: { shape: 'rectangular', halfWidth: 1 } }], 0.95, 100_000, 1)
    expect(Math.abs(flat.U - 1.9)).toBeLessThan(4 * flat.sd)
    const t = drawnHalfWidth([{ ...part, kind: 'A', degrees: 9, spread: { shape: 'normal', standard: 1 } }], 0.95, 100_000, 1)
    expect(Math.abs(t.U - 2 * studentFactor(0.95, 9))).toBeLessThan(4 * t.sd)
    expect(flat.sd + t.sd).toBeLessThan(0.03)
  })
  it('δ is half a unit of the second digit: 0.005 for 0.32, 0.5 for 10 and 99', () => {
    expect([0.32, 10, 99].map(numericalTolerance)).toEqual([0.005, 0.5, 0.5])
  })
})

describe('coverage intervals against draws', () => {
  it.each([30_100, 30_110])('budget %i, 200,000 draws', (seed) => {
    const { apart, allowed } = agreementOf(seed, 200_000)
    expect(apart).toBeLessThanOrEqual(allowed)
  })
})

describe('items behind leads of known resistance', () => {
  const facts = (shown: number, ohms: number, takenOff: boolean): ValueFacts => ({
    function: 'resistance', value: takenOff ? shown - ohms : shown, shown, resolution: 0.01, sd: 0, conversions: 5, independent: 1,
    repeatability: { sd: 0.01, degrees: 60, groups: 20 }, accuracy: { percent: 0.05, counts: 2 }, conditions: { celsiusFrom: 18, celsiusTo: 28, months: 12 },
    surroundings: { celsius: 23, monthsSinceCalibration: 5 }, lead: { ohms, standard: 0.01, degrees: null, takenOff }, contact: null, board: [],
  })
  it.each([[120.3, 0.4], [120.3, 0.05], [950.1, 0.3], [47.2, 0.4]])('%d Ω behind %d Ω: at least 95 % lie within U, taken off or not', (shown, ohms) => {
    const [left, taken] = [itemsWithin(facts(shown, ohms, false), 20_000, 30_200), itemsWithin(facts(shown, ohms, true), 20_000, 30_201)]
    // Four standard deviations of 20,000 draws are 0.6 %.
    expect(left).toBeGreaterThan(0.944)
    expect(Math.abs(taken - 0.95)).toBeLessThan(0.008)
  })
})
