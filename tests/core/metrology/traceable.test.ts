/** When a meter’s values are traceable, what blocks it, and which runs come under review. */
import { describe, expect, it } from 'vitest'
import { blankRegisterEntry } from '../../../src-core/meter/register'
import type { CheckStandards } from '../../../src-core/metrology/check-standards'
import { reviewWords, traceable, underReview } from '../../../src-core/metrology/traceable'
import { traceabilityInWords } from '../../../src-core/run/traceability-words'
import { certificate, checkOf, goodPair, ownMeter, standards } from './standards'

const at = (time: string): string => `2026-11-29T${time}.000Z`
const because = (answer: ReturnType<typeof traceable>): string => (answer.traceable ? 'traceable' : answer.because)
const withCertificate = (change: Partial<typeof certificate>) => ({ ...ownMeter, register: { ...blankRegisterEntry, certificate: { ...certificate, ...change } } })

describe('traceable', () => {
  it('with a certificate in date and a good check of both standards', () => {
    expect(traceable(ownMeter, goodPair(at('08:00:00')), at('09:00:00'))).toEqual({ traceable: true, functions: ['resistance', 'diode'] })
  })
  it('for 12 hours after the check, the last second included', () => {
    expect(traceable(ownMeter, goodPair(at('08:00:00')), at('20:00:00')).traceable).toBe(true)
    expect(because(traceable(ownMeter, goodPair(at('08:00:00')), at('20:00:01')))).toBe('There is no good check of Bench meter within 12 hours with the check resistor and the check diode.')
  })
  it('not before the check was made', () => {
    expect(traceable(ownMeter, goodPair(at('08:00:00')), at('07:59:59')).traceable).toBe(false)
  })
  it('not with one standard alone', () => {
    expect(because(traceable(ownMeter, goodPair(at('08:00:00')).slice(0, 1), at('09:00:00')))).toMatch(/with the check diode\.$/)
    expect(because(traceable(ownMeter, goodPair(at('08:00:00')).slice(1), at('09:00:00')))).toMatch(/with the check resistor\.$/)
  })
  it('not without a certificate, past its due date, or where the laboratory left it outside; on the due day still', () => {
    const checks = goodPair(at('08:00:00'))
    expect(because(traceable({ ...ownMeter, register: blankRegisterEntry }, checks, at('09:00:00')))).toMatch(/no calibration certificate/)
    expect(because(traceable(withCertificate({ due: '2026-11-28' }), checks, at('09:00:00')))).toBe('The calibration of Bench meter was due on 2026-11-28.')
    expect(traceable(withCertificate({ due: '2026-11-29' }), checks, at('09:00:00')).traceable).toBe(true)
    expect(because(traceable(withCertificate({ calibrated: '2026-11-30' }), checks, at('09:00:00')))).toMatch(/from 2026-11-30 on only/)
    expect(because(traceable(withCertificate({ asLeft: 'outside specification' }), checks, at('09:00:00')))).toMatch(/left Bench meter outside its specification/)
    expect(traceable(withCertificate({ asLeft: 'not stated', asFound: 'outside specification' }), checks, at('09:00:00')).traceable).toBe(true)
  })
  it('in the functions that the certificate has points in, and in no other', () => {
    const [ohms] = certificate.points
    if (ohms === undefined) throw new Error('the certificate has no point')
    const judged = traceable(withCertificate({ points: [ohms] }), goodPair(at('08:00:00')), at('09:00:00'))
    expect(judged).toEqual({ traceable: true, functions: ['resistance'] })
    expect(traceabilityInWords(judged)).toBe('Traceable now in resistance: the certificate has points there. In any other function values of this meter are not traceable.')
  })
  it('not where no point of the certificate is in the register', () => {
    const judged = traceable(withCertificate({ points: [] }), goodPair(at('08:00:00')), at('09:00:00'))
    expect(traceabilityInWords(judged)).toBe('Not traceable: Of the certificate of Bench meter, L-1907, no points are in the register: it is not known which functions it covers.')
  })
  it('not after a failed check, until a good one of the same standard; the other standard does not answer for it', () => {
    const failed = [...goodPair(at('08:00:00')), checkOf('resistor', 480, at('10:00:00'))]
    expect(traceable(ownMeter, failed, at('09:59:59')).traceable).toBe(true)
    expect(because(traceable(ownMeter, failed, at('10:30:00')))).toBe(
      'Check resistor CR-1 failed on 2026-11-29: it read 480.0 Ω, should be 470.0 Ω ± 1.9 Ω. Values of this meter are not traceable until a good check.')
    const diodeGood = [...failed, checkOf('diode', 0.6, at('10:40:00'), 0.01)]
    expect(traceable(ownMeter, diodeGood, at('11:00:00')).traceable).toBe(false)
    expect(traceable(ownMeter, [...diodeGood, checkOf('resistor', 470, at('10:50:00'))], at('11:00:00'))).toEqual({ traceable: true, functions: ['resistance', 'diode'] })
  })
  it('another standard of its kind answers only at about the same value, and if it tries the meter at least as hard', () => {
    const failed = [...goodPair(at('08:00:00')), checkOf('resistor', 480, at('10:00:00'))]
    const other = (ohms: number, U: number): CheckStandards =>
      ({ ...standards, resistor: standards.resistor === null ? null : { ...standards.resistor, label: 'CR-2', ohms, U } })
    const after = (ohms: number, U: number): boolean => traceable(ownMeter, [...failed, checkOf('resistor', ohms, at('10:50:00'), 1.9, other(ohms, U))], at('11:00:00')).traceable
    expect(after(470, 0.1)).toBe(true)
    expect(after(510, 0.1)).toBe(true)
    expect(after(470, 12)).toBe(false)
    expect(after(10_000, 0.1)).toBe(false)
  })
  it('a failed check stays so after its 12 hours', () => {
    const checks = [checkOf('resistor', 480, '2026-11-20T08:00:00.000Z'), checkOf('diode', 0.6, at('08:00:00'), 0.01)]
    expect(because(traceable(ownMeter, checks, at('09:00:00')))).toMatch(/failed on 2026-11-20/)
  })
  it('every reason is given: an overdue calibration hides neither a failed check nor a missing one', () => {
    const checks = [...goodPair(at('08:00:00')).filter(({ standard }) => standard.kind === 'resistor'), checkOf('resistor', 480, at('10:00:00'))]
    expect(because(traceable(withCertificate({ due: '2026-11-28' }), checks, at('10:30:00')))).toBe(
      'The calibration of Bench meter was due on 2026-11-28. Check resistor CR-1 failed on 2026-11-29: it read 480.0 Ω, should be 470.0 Ω ± 1.9 Ω. '
      + 'Values of this meter are not traceable until a good check. There is no good check of Bench meter within 12 hours with the check diode.')
  })
  it('a new certificate of the standard does not hide what failed against the old one', () => {
    const again: CheckStandards = { ...standards, resistor: standards.resistor === null ? null : { ...standards.resistor, certificateNumber: 'L-2301' } }
    const failed = [...goodPair(at('08:00:00')), checkOf('resistor', 480, at('10:00:00'))]
    expect(traceable(ownMeter, failed, at('11:00:00')).traceable).toBe(false)
    expect(traceable(ownMeter, [...failed, checkOf('resistor', 470, at('10:30:00'), 1.9, again)], at('11:00:00')).traceable).toBe(true)
  })
  it('a failed check of one meter does not speak against another', () => {
    const checks = [...goodPair(at('08:00:00')), checkOf('resistor', 480, at('08:30:00'), 1.9, standards, 'another-meter')]
    expect(traceable(ownMeter, checks, at('09:00:00')).traceable).toBe(true)
  })
})

describe('runs under review', () => {
  const runs = ['07:00:00', '08:30:00', '09:30:00', '10:30:00', '11:30:00'].map((time) => ({ run: time, startedUtc: at(time) }))
  const named = (checks: Parameters<typeof underReview>[0]): string[] => underReview(checks, runs).map(({ run }) => run)

  it('are none while every check is good', () => { expect(named(goodPair(at('08:00:00')))).toEqual([]) })
  it('are those since the last good check; a good check later answers for what comes after it only', () => {
    const failed = [...goodPair(at('08:00:00')), checkOf('resistor', 480, at('10:00:00'))]
    expect(named(failed)).toEqual(['08:30:00', '09:30:00', '10:30:00', '11:30:00'])
    expect(named([...failed, checkOf('resistor', 470, at('11:00:00'))])).toEqual(['08:30:00', '09:30:00', '10:30:00'])
  })
  it('are those, too, that were begun before the last good check and still measured after it', () => {
    const failed = [...goodPair(at('08:00:00')), checkOf('resistor', 480, at('10:00:00'))]
    const begun = [{ run: 'went on', startedUtc: at('07:00:00'), lastValueUtc: at('09:00:00') }, { run: 'was over', startedUtc: at('07:00:00'), lastValueUtc: at('07:30:00') }, { run: 'took no value', startedUtc: at('07:00:00'), lastValueUtc: null }]
    expect(underReview(failed, begun).map(({ run }) => run)).toEqual(['went on'])
  })
  it('are all of them where no check was good before', () => {
    expect(named([checkOf('diode', 'overload', at('10:00:00'))])).toHaveLength(5)
  })
  it('are counted in a sentence', () => {
    expect(reviewWords(3, at('08:00:00'))).toBe('3 runs since the last good check of 2026-11-29 are under review.')
    expect(reviewWords(1, null)).toBe('1 run of this meter, which had no good check before, is under review.')
    expect(reviewWords(0, at('08:00:00'))).toBe('There is no run since the last good check of 2026-11-29 to review.')
  })
})
