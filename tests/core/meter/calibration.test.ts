/** Whether a calibration holds: by the day, and never because nobody looked. */
import { describe, expect, it } from 'vitest'
import { calibrationAt, calibrationWarning, monthsAfter } from '../../../src-core/meter/calibration'
import { calibrationHolds } from '../../../src-core/metrology/check-standards'
import { blankRegisterEntry, certificate, type Certificate, type RegisterEntry } from '../../../src-core/meter/register'
import { registerProblem } from '../../../src-core/meter/register-check'

const made: Certificate = {
  number: 'C-0815', laboratory: 'Valley Calibration', accreditation: 'VC 17', calibrated: '2025-10-03', due: '2026-10-03',
  asFound: 'within specification', asLeft: 'within specification', points: [],
}
const entry = (change: Partial<Certificate> = {}, register: Partial<RegisterEntry> = {}): RegisterEntry => ({ ...blankRegisterEntry, certificate: { ...made, ...change }, ...register })

describe('the calibration of a meter', () => {
  it.each([
    ['2025-10-03T00:00:00Z', 'in-date'], ['2026-10-03T23:59:59.999Z', 'in-date'], ['2026-10-04T00:00:00Z', 'overdue'],
    // A certificate dated tomorrow does not hold yet.
    ['2025-10-02T23:59:59.999Z', 'none'], ['2025-10-01T23:59:59Z', 'none'],
  ])('at %s it is %s, and values are traceable in date only', (utc, state) => {
    expect(calibrationAt(entry(), utc).state).toBe(state)
    expect(calibrationHolds(made, utc)).toBe(state === 'in-date')
  })
  it('overdue is said with the day it was due', () => {
    expect(calibrationAt(entry(), '2026-11-29T10:00:00Z').words).toBe('Calibration of this meter was due on 2026-10-03: its values are not traceable.')
    expect(calibrationWarning(entry(), '2026-11-29T10:00:00Z')).toMatch(/was due on 2026-10-03/)
    expect(calibrationWarning(entry(), '2026-10-03T10:00:00Z')).toBeNull()
  })
  it('a meter without a certificate is not traceable, and no run is held up by saying so', () => {
    expect(calibrationAt(blankRegisterEntry, '2026-01-01T00:00:00Z')).toMatchObject({ state: 'none', remarks: [] })
    expect(calibrationWarning(blankRegisterEntry, '2026-01-01T00:00:00Z')).toBeNull()
  })
  it('as found outside puts earlier values in doubt; as left outside speaks against those to come', () => {
    const found = entry({ asFound: 'outside specification' })
    expect(calibrationAt(found, '2026-01-01T00:00:00Z').remarks).toEqual(['As found on 2025-10-03 it was outside its specification: what it measured before that day is in doubt.'])
    expect(calibrationWarning(found, '2026-01-01T00:00:00Z')).toBeNull()
    expect(calibrationWarning(entry({ asLeft: 'outside specification' }), '2026-01-01T00:00:00Z')).toMatch(/stated accuracy does not hold/)
  })
  it('an accuracy stated for six months does not hold in the seventh, though the calibration does', () => {
    const half = entry({}, { conditions: { celsiusFrom: 18, celsiusTo: 28, months: 6 } })
    expect(calibrationAt(half, '2026-04-03T12:00:00Z').remarks).toEqual([])
    expect(calibrationAt(half, '2026-04-04T12:00:00Z')).toMatchObject({ state: 'in-date', remarks: [expect.stringMatching(/for 6 months .* ended on 2026-04-03/)] })
  })
  it.each([['2026-01-31', 1, '2026-02-28'], ['2024-01-31', 1, '2024-02-29'], ['2025-12-15', 12, '2026-12-15'], ['2025-11-30', 3, '2026-02-28']])('%s and %d months: %s', (day, months, then) => {
    expect(monthsAfter(day, months)).toBe(then)
  })
})

describe('an entry of the register', () => {
  const meter = (register: RegisterEntry, id = 'one') => ({ id, name: `Meter ${id}`, register })
  it('is refused with a due date before the calibration', () => {
    expect(registerProblem(meter(entry({ due: '2025-10-02' })), [])).toMatch(/due date, 2025-10-02, lies before the day of calibration, 2025-10-03/)
    expect(registerProblem(meter(entry({ due: '2025-10-03' })), [])).toBeNull()
  })
  it('is refused with one range or one source twice, for then nobody knows which holds', () => {
    const range = { function: 'resistance' as const, range: 600, percent: 0.5, counts: 2 }
    expect(registerProblem(meter({ ...blankRegisterEntry, ranges: [range, { ...range, percent: 0.9 }] }), [])).toBe('Accuracy: resistance, range 600 Ω, stands twice. Take one of the two lines out.')
    const source = { function: 'diode' as const, range: null, volts: 3, ohms: 2000, amperes: null, plus: 'red' as const, basis: 'entered' as const }
    expect(registerProblem(meter({ ...blankRegisterEntry, sources: [source, source] }), [])).toMatch(/^Source: diode, any range, stands twice/)
    expect(registerProblem(meter({ ...blankRegisterEntry, ranges: [range, { ...range, range: 6000 }] }), [])).toBeNull()
  })
  it('does not take a point without an uncertainty, or a day that is none', () => {
    const point = { function: 'resistance', range: null, applied: 100, shown: 100.1, U: 0.02, k: 2 }
    expect(certificate.safeParse({ ...made, points: [point] }).success).toBe(true)
    expect(certificate.safeParse({ ...made, points: [{ ...point, U: 0 }] }).success).toBe(false)
    expect(certificate.safeParse({ ...made, due: '2026-02-30' }).success).toBe(false)
  })
})
