/** A sample of the long check beside this file: same code, same pass mark, fewer draws. */
import { describe, expect, it } from 'vitest'
import { studentFactor } from '../../../src-core/metrology/student'
import { agreementOf, drawnHalfWidth, numericalTolerance } from './monte-carlo'

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
