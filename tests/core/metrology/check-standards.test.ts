/** A check of a meter against a calibrated standard: the criterion, its boundary, and a standard out of date. */
import { describe, expect, it } from 'vitest'
import { usualBenchKit, benchKit } from '../../../src-core/meter/instrument'
import { atTwo, checkLimit, checkOutcome, checkStandards, noCheckStandards, standardOf } from '../../../src-core/metrology/check-standards'
import { checkInWords } from '../../../src-core/metrology/check-words'
import { checkOf, standards } from './standards'

const now = '2026-11-29T08:00:00.000Z'

describe('a check against a standard', () => {
  it('takes the standard’s U to k = 2 from its own k', () => {
    expect(atTwo(0.3, 3)).toBeCloseTo(0.2, 12)
    const three = { ...standards, resistor: standards.resistor === null ? null : { ...standards.resistor, U: 0.3, k: 3 } }
    expect(standardOf(three, 'resistor')?.U).toBeCloseTo(0.2, 12)
  })
  it('allows the root of the sum of squares, itself included, and not a hair more', () => {
    const reference = { ...standards, resistor: standards.resistor === null ? null : { ...standards.resistor, U: 0.4, k: 2 } }
    expect(checkLimit(0.3, { U: 0.4 })).toBeCloseTo(0.5, 12)
    for (const sign of [-1, 1]) {
      expect(checkOf('resistor', 470 + sign * 0.5, now, 0.3, reference)).toMatchObject({ good: true, difference: sign * 0.5 })
      expect(checkOf('resistor', 470 + sign * 0.5001, now, 0.3, reference).good).toBe(false)
    }
  })
  it('an overload, and an unknown resolution, do not make it easier', () => {
    expect(checkOf('resistor', 'overload', now)).toMatchObject({ good: false, difference: null })
    expect(checkOutcome(checkOf('resistor', 'overload', now))).toBe('failed')
    expect(checkLimit(null, { U: 0.1 })).toBe(0.1)
  })
  it('a standard past its due date cannot give a good check; on the day itself it still does', () => {
    expect(checkOf('resistor', 470, '2027-03-02T23:59:59.000Z').good).toBe(true)
    const late = checkOf('resistor', 470, '2027-03-03T00:00:00.000Z')
    expect([late.good, checkOutcome(late)]).toEqual([false, 'standard out of date'])
    expect(checkOutcome(checkOf('resistor', 480, '2027-03-03T00:00:00.000Z'))).toBe('failed')
    expect(checkOutcome(checkOf('resistor', 470, '2026-03-01T12:00:00.000Z'))).toBe('standard out of date')
  })
  it('says plainly what it read and what it should read', () => {
    expect(checkInWords(checkOf('resistor', 472.1, now, 1.9))).toBe('Check resistor CR-1 reads 472.1 Ω, should be 470.0 Ω ± 1.9 Ω: failed.')
    expect(checkInWords(checkOf('diode', 0.601, now, 0.01))).toBe('Check diode CD-1 reads 0.601 V, should be 0.600 V ± 11 mV: good.')
    expect(checkInWords(checkOf('diode', 'overload', now))).toMatch(/reads over range, should be 600\.0 mV ± 5 mV: failed/)
  })
  it('a kit kept before there were any has none', () => {
    const { checkStandards: _none, sourceResistors: _usual, ...older } = usualBenchKit
    expect(benchKit.parse(older)).toEqual(usualBenchKit)
    expect(benchKit.parse(older).checkStandards).toEqual(noCheckStandards)
    expect(checkStandards.parse(standards)).toEqual(standards)
  })
})
