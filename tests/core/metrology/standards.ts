/** Invented check standards and checks for the tests of metrology. */
import { judgeCheck, standardOf, type CheckKind, type CheckResult, type CheckStandards } from '../../../src-core/metrology/check-standards'
import type { MeasuredValue } from '../../../src-core/meter/reading'
import { blankRegisterEntry, type Certificate } from '../../../src-core/meter/register'

export const calibration = { laboratory: 'Lindenhof Calibration', calibrated: '2026-03-02', due: '2027-03-02' }

export const standards: CheckStandards = {
  resistor: { ...calibration, label: 'CR-1', certificateNumber: 'L-2201', ohms: 470, U: 0.1, k: 2 },
  diode: { ...calibration, label: 'CD-1', certificateNumber: 'L-2202', volts: 0.6, U: 0.005, k: 2, amperes: 0.001 },
}

export const certificate: Certificate = {
  number: 'L-1907', laboratory: 'Lindenhof Calibration', accreditation: '', calibrated: '2026-03-02', due: '2027-03-02',
  asFound: 'within specification', asLeft: 'within specification',
  points: [
    { function: 'resistance', range: 600, applied: 100, shown: 100.1, U: 0.02, k: 2 }, { function: 'resistance', range: 6000, applied: 1000, shown: 1001, U: 0.2, k: 2 },
    { function: 'diode', range: null, applied: 0.5, shown: 0.501, U: 0.001, k: 2 },
  ],
}

export const ownMeter = { id: 'bench-meter', name: 'Bench meter', register: { ...blankRegisterEntry, certificate } }

let number = 0
/** @param utc such as 2026-11-29T08:00:00.000Z. */
export const checkOf = (kind: CheckKind, value: MeasuredValue, utc: string, U = 1.9, of: CheckStandards = standards, meter = ownMeter.id): CheckResult => {
  const standard = standardOf(of, kind)
  if (standard === null) throw new Error(`there is no check ${kind}`)
  number += 1
  return judgeCheck(standard, { id: `check-${number}`, utc, meter, run: `run-${number}`, conversions: 8, value, U: typeof value === 'number' ? U : null })
}
export const goodPair = (utc: string): CheckResult[] => [checkOf('resistor', 470.3, utc), checkOf('diode', 0.601, utc, 0.01)]
