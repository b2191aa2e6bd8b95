import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../../fixtures/touches/random'
import { bestEstimate, budget, type Budget } from '../../../src-core/metrology/budget'
import { contribution } from '../../../src-core/metrology/component'
import { valueBudget, type ValueFacts } from '../../../src-core/metrology/value-budget'
import { randomFacts } from './random-facts'

const r3: ValueFacts = {
  function: 'resistance', value: 221.4, shown: 221.4, resolution: 0.1, sd: 0.06, conversions: 5, independent: 1,
  repeatability: { sd: 0.08, degrees: 120, groups: 40 }, accuracy: { percent: 0.5, counts: 2 },
  conditions: { celsiusFrom: 18, celsiusTo: 28, months: 12 }, surroundings: { celsius: 23, monthsSinceCalibration: 4 },
  lead: { ohms: 0.21, standard: 0.02, degrees: null, takenOff: false }, contact: { sd: 0.09, degrees: 30, groups: 15 }, board: [],
}
const made = (change: Partial<ValueFacts>): Budget => {
  const found = valueBudget({ ...r3, ...change })
  if ('refused' in found) throw new Error(found.refused)
  return found
}
const row = (of: Budget, what: string) => of.components.find((each) => each.what === what)
const u = (of: Budget, what: string): number => {
  const found = row(of, what)
  return found === undefined ? NaN : contribution(found)
}

describe('the budget of a captured value', () => {
  it('has a row for repeatability, resolution, accuracy, leads and contact, and adds their squares', () => {
    const found = made({})
    expect(found.components.map(({ what }) => what)).toEqual(['repeatability', 'resolution', 'accuracy of the meter', 'lead resistance', 'contact'])
    expect(u(found, 'accuracy of the meter')).toBeCloseTo((0.005 * 221.4 + 0.2) / Math.sqrt(3), 12)
    expect(found.combined).toBeCloseTo(Math.sqrt(found.components.reduce((sum, each) => sum + contribution(each) ** 2, 0)), 12)
    expect(found.bias).toBe(0.21)
    expect(found.U).toBeCloseTo(found.coverage.k * found.combined + 0.21, 12)
    expect(found).toMatchObject({ basis: 'budget', coverage: { by: 'dominated' }, remarks: [] })
    expect(budget.parse(JSON.parse(JSON.stringify(found)))).toEqual(found)
  })
  it('never counts less than the rounding of one count, nor counts it twice', () => {
    for (const sd of [0, 0.01, 0.0288]) {
      const still = made({ repeatability: { sd, degrees: 50, groups: 20 }, sd })
      expect(Math.hypot(u(still, 'repeatability'), u(still, 'resolution'))).toBeCloseTo(0.1 / Math.sqrt(12), 12)
      expect(row(still, 'repeatability')?.from).toContain('stood still')
    }
    const dithers = made({ repeatability: { sd: 0.2, degrees: 50, groups: 20 }, sd: 0.2 })
    expect(Math.hypot(u(dithers, 'repeatability'), u(dithers, 'resolution'))).toBeCloseTo(0.2, 12)
  })
  it('divides by √n only what somebody showed to be independent', () => {
    const plain = u(made({ repeatability: { sd: 0.3, degrees: 120, groups: 40 } }), 'repeatability')
    expect(u(made({ repeatability: { sd: 0.3, degrees: 120, groups: 40 }, conversions: 50 }), 'repeatability')).toBe(plain)
    expect(u(made({ repeatability: { sd: 0.3, degrees: 120, groups: 40 }, independent: 9 }), 'repeatability')).toBeCloseTo(plain / 3, 12)
  })
  it('takes this value’s own scatter where it is more than usual, or where nothing is pooled yet', () => {
    expect(row(made({ sd: 0.08 }), 'repeatability')).toMatchObject({ degrees: 120 })
    expect(row(made({ sd: 0.6 }), 'repeatability')).toMatchObject({ degrees: 4, from: '5 readings of this value, which scatter more than is usual here' })
    expect(row(made({ repeatability: null }), 'repeatability')).toMatchObject({ degrees: 4 })
  })
  it('has something for a single typed reading', () => {
    const typed = made({ repeatability: null, sd: null, conversions: 1 })
    expect(row(typed, 'repeatability')).toMatchObject({ kind: 'B', from: 'one reading: taken as ± 1 count' })
    expect(u(typed, 'repeatability')).toBeCloseTo(0.1 / Math.sqrt(3), 12)
  })
  it('says how the leads stand: taken off with their own uncertainty, left on, or never checked', () => {
    expect(u(made({ lead: { ohms: 0.21, standard: 0.02, degrees: 4, takenOff: true } }), 'lead resistance')).toBeCloseTo(0.02, 12)
    expect(u(made({}), 'lead resistance')).toBeCloseTo(0.02, 12)
    const unchecked = made({ lead: null })
    expect(u(unchecked, 'lead resistance')).toBeCloseTo(0.25 / Math.sqrt(3), 12)
    expect(unchecked.bias).toBe(0.25)
    expect(unchecked.remarks.join(' ')).toContain('leads were not checked')
    expect(row(made({ function: 'diode', lead: null }), 'lead resistance')).toBeUndefined()
  })
  it('counts known leads that were left in the value as the one-sided bias they are', () => {
    const facts: Partial<ValueFacts> = {
      value: 120.3, shown: 120.3, resolution: 0.01, sd: 0, repeatability: { sd: 0, degrees: 50, groups: 20 }, accuracy: { percent: 0.05, counts: 2 }, contact: null,
    }
    const left = made({ ...facts, lead: { ohms: 0.4, standard: 0.01, degrees: null, takenOff: false } })
    const taken = made({ ...facts, lead: { ohms: 0.4, standard: 0.01, degrees: null, takenOff: true } })
    expect(left.U).toBeCloseTo(taken.U + 0.4, 12)
    expect(left.coverage).toEqual(taken.coverage)
    expect(bestEstimate(left)).toBeCloseTo(119.9, 12)
    // An item of 120.0 Ω behind 0.4 Ω of leads on a meter in the middle of its accuracy: its value lies within U.
    expect(Math.abs(120.3 - 119.9)).toBeLessThanOrEqual(left.U)
  })
  it('says what is not known of the contact', () => {
    const untouched = made({ contact: null })
    expect(row(untouched, 'contact')).toBeUndefined()
    expect(untouched.remarks.join(' ')).toMatch(/touched twice/)
  })
  it('takes what the board type adds', () => {
    expect(u(made({ board: [{ what: 'R9 in parallel', halfWidth: 0.6 }] }), 'R9 in parallel')).toBeCloseTo(0.6 / Math.sqrt(3), 12)
  })
  it('stands on a usual accuracy, and says so, where none was entered', () => {
    const generic = made({ accuracy: null })
    expect(generic.basis).toBe('generic')
    expect(generic.remarks.join(' ')).toContain('was not entered')
    expect(u(generic, 'accuracy of the meter')).toBeCloseTo((0.015 * 221.4 + 0.5) / Math.sqrt(3), 12)
  })
})

describe('outside the stated conditions', () => {
  const at = (celsius: number | null): Budget => made({ surroundings: { celsius, monthsSinceCalibration: 4 } })
  it('the accuracy widens by a tenth of itself per degree, and says so', () => {
    expect(u(at(28), 'accuracy of the meter')).toBe(u(at(23), 'accuracy of the meter'))
    expect(u(at(33), 'accuracy of the meter')).toBeCloseTo(1.5 * u(at(23), 'accuracy of the meter'), 12)
    expect(u(at(16), 'accuracy of the meter')).toBeCloseTo(1.2 * u(at(23), 'accuracy of the meter'), 12)
    expect(at(33).remarks.join(' ')).toContain('outside the stated 18 °C to 28 °C')
    expect(at(23).remarks).toEqual([])
  })
  it('far outside there is none', () => {
    const found = valueBudget({ ...r3, surroundings: { celsius: -4, monthsSinceCalibration: 4 } })
    expect('refused' in found && found.refused).toContain('At \u22124 °C nothing is known')
  })
  it('an unknown temperature, unknown conditions, and an old calibration are said', () => {
    expect(at(null).remarks.join(' ')).toContain('temperature was not given')
    expect(made({ conditions: null }).remarks.join(' ')).toContain('was not entered')
    expect(made({ surroundings: { celsius: 23, monthsSinceCalibration: 15.4 } }).remarks.join(' ')).toContain('12 months after calibration; it has been 15')
    expect(made({ surroundings: { celsius: 23, monthsSinceCalibration: null } }).remarks.join(' ')).toContain('is not known')
  })
})

describe('whatever the facts', () => {
  it('no part ever lowers the combined uncertainty, and U is never under one count’s own', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 1e6 }), (seed) => {
      const facts = randomFacts(seededRandom(seed))
      const found = valueBudget(facts)
      if ('refused' in found) throw new Error(found.refused)
      for (const each of found.components) expect(found.combined).toBeGreaterThanOrEqual(contribution(each))
      expect(found.U).toBeGreaterThanOrEqual(0.95 * facts.resolution / 2 * (1 - 1e-9))
      expect(found.coverage.k).toBeGreaterThan(1.64)
    }), { numRuns: 200 })
  })
})
