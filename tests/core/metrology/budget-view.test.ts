import { describe, expect, it } from 'vitest'
import { budgetOf, type Budget } from '../../../src-core/metrology/budget'
import { budgetView, probabilityInWords, viewOfBudget, type BudgetView } from '../../../src-core/metrology/budget-view'
import type { Component, Spread } from '../../../src-core/metrology/component'
import type { DecisionRule, Limits, Verdict } from '../../../src-core/metrology/limits'

const part = (what: string, spread: Spread, degrees: number | null = null): Component =>
  ({ what, from: `of ${what}`, kind: degrees === null ? 'B' : 'A', spread, sensitivity: 1, degrees, unit: 'Ω' })
const r3 = budgetOf([
  part('repeatability', { shape: 'normal', standard: 0.1 }, 40), part('resolution', { shape: 'rectangular', halfWidth: 0.05 }),
  part('accuracy of the meter', { shape: 'rectangular', halfWidth: 1.3 }), { ...part('lead resistance', { shape: 'normal', standard: 0.02 }), sensitivity: -1 },
], { value: 221.4, unit: 'Ω', basis: 'budget', remarks: ['A remark.'] })

const simple: DecisionRule = { kind: 'simple-acceptance', r: 0 }
const view = (of: Budget, limits: Limits, verdict: Verdict, rule = simple): BudgetView => viewOfBudget(of, { limits, function: 'resistance', verdict, rule })

describe('a budget as it is shown', () => {
  const shown = view(r3, { nominal: 220, tolerance: 0.05 }, 'pass')
  it('states the result rounded, and how k was found', () => {
    expect(budgetView.parse(shown)).toEqual(shown)
    expect(shown.result).toBe('(221.4 ± 1.3) Ω')
    expect(shown.coverage).toBe('k = 1.66 for 95 %: accuracy of the meter dominates (EA-4/02: rectangular, 1.65 by itself); the small rest is counted in.')
    expect(shown.remarks).toEqual(['A remark.'])
  })
  it('has a row a part, whose shares come to all of it, and a bar for the eye', () => {
    expect(shown.rows[2]).toEqual({
      what: 'accuracy of the meter', from: 'of accuracy of the meter', kind: 'B', spread: 'rectangular, ± 1.3 Ω', sensitivity: '1', degrees: '∞',
      standard: '0.75 Ω', contribution: '0.75 Ω', share: '98 %', bar: 1,
    })
    expect(shown.rows[3]).toMatchObject({ sensitivity: '\u22121', spread: 'normal, s = 20 mΩ' })
    expect(shown.rows[0]).toMatchObject({ degrees: '40', kind: 'A' })
    expect(Math.abs(shown.rows.reduce((sum, { share }) => sum + Number.parseFloat(share), 0) - 100)).toBeLessThanOrEqual(2)
    expect(shown.rows.every(({ bar }) => bar >= 0 && bar <= 1)).toBe(true)
  })
  it('puts value, interval and limits along one axis, in their order', () => {
    const { lo, from, value, to, hi } = shown.axis
    const places = [0, lo ?? NaN, from, value, to, hi ?? NaN, 1]
    expect([...places].sort((a, b) => a - b)).toEqual(places)
    expect(view(r3, { atMost: 300 }, 'pass').axis).toMatchObject({ lo: null })
    expect(view(r3, 'open', 'fail').axis).toMatchObject({ lo: null, hi: null })
  })
  it('draws the acceptance limits of a guard band inside the limits, w = r U from each (ILAC-G8:09/2019, 4.2.3, from memory), and none of simple acceptance', () => {
    expect([shown.axis.acceptLo, shown.axis.acceptHi, shown.acceptance]).toEqual([null, null, ''])
    const limits: Limits = { between: [209, 231] }
    const guarded = view(r3, limits, 'pass', { kind: 'guard-band', r: 1 })
    const { lo, hi, acceptLo, acceptHi, value, from } = guarded.axis
    // U to the left of the value is as long as the band: both are U.
    expect((acceptLo ?? NaN) - (lo ?? NaN)).toBeCloseTo(value - from, 12)
    expect((hi ?? NaN) - (acceptHi ?? NaN)).toBeCloseTo(value - from, 12)
    expect(guarded.acceptance).toBe(`A pass lies within ${(209 + r3.U).toFixed(2)} Ω to ${(231 - r3.U).toFixed(2)} Ω, the acceptance limits.`)
    expect(view(r3, { atMost: 231 }, 'pass', { kind: 'guard-band', r: 1 })).toMatchObject({ axis: { acceptLo: null }, acceptance: expect.stringMatching(/^A pass is at most 229\./) as string })
    expect(view(r3, { between: [221, 222] }, 'conditional-pass', { kind: 'guard-band', r: 1 })).toMatchObject({ axis: { acceptLo: null, acceptHi: null }, acceptance: expect.stringMatching(/^No value can pass/) as string })
    expect(view(r3, 'open', 'fail', { kind: 'guard-band', r: 1 }).acceptance).toBe('')
  })
  it('says how likely it conforms, and the risk of this verdict', () => {
    expect(shown.conformance).toBe('conforms with over 99.9 %; risk of a wrong pass under 0.1 %')
    expect(view(r3, { atMost: 221.4 }, 'pass').conformance).toBe('conforms with 50.0 %; risk of a wrong pass 50.0 %')
    expect(view(r3, { atMost: 220.6 }, 'fail').conformance).toMatch(/^conforms with 1\d\.\d %; risk of a wrong fail 1\d\.\d %$/)
    expect(view(r3, 'open', 'fail').conformance).toBe('')
  })
  it('names two parts that rule together', () => {
    const two = budgetOf([part('accuracy', { shape: 'rectangular', halfWidth: 2 }), part('R9 in parallel', { shape: 'rectangular', halfWidth: 1 }), part('s', { shape: 'normal', standard: 0.9 })], { value: 1, unit: 'Ω', basis: 'budget', remarks: [] })
    expect(view(two, { atMost: 2 }, 'pass').coverage).toMatch(/accuracy and R9 in parallel \(trapezoidal, 1\.83 by itself\) with the rest beside it/)
  })
  it('names Student’s t and its degrees where no bounded part rules', () => {
    const few = budgetOf([part('repeatability', { shape: 'normal', standard: 0.1 }, 4)], { value: 1, unit: 'Ω', basis: 'budget', remarks: [] })
    expect(view(few, { atMost: 2 }, 'pass').coverage).toBe('k = 2.78 for 95 %: Student’s t with 4 degrees of freedom.')
    const exact = budgetOf([part('lead', { shape: 'normal', standard: 0.1 })], { value: 1, unit: 'Ω', basis: 'budget', remarks: [] })
    expect(view(exact, { atMost: 2 }, 'pass').coverage).toBe('k = 1.96 for 95 %: normal distribution.')
  })
})

describe('a probability in words', () => {
  it('is never quite certain', () => {
    expect([1, 0.9995, 0.99, 0.5, 0.0009, 0].map(probabilityInWords)).toEqual(['over 99.9 %', 'over 99.9 %', '99.0 %', '50.0 %', 'under 0.1 %', 'under 0.1 %'])
  })
})
