/** What a record says of the meter a run began with: who it was, how sure that was, and whether its calibration held at that moment. */
import { calibrationAt } from '../meter/calibration'
import { identityInRecord } from '../meter/identity'
import { isBenchRun } from './bench-runs'
import { metersOf } from './meter-of'
import type { RunState } from './state'

/** `warn`: it speaks against the values. */
export type MeterFact = { name: string; words: string; warn: boolean }

const certificateWords = ({ number, laboratory, accreditation, calibrated }: { number: string; laboratory: string; accreditation: string; calibrated: string }): string =>
  [`${number} of ${calibrated}`, laboratory, ...(accreditation === '' ? [] : [accreditation])].join(', ')

/** Empty for a practice run, and for a run begun without a meter. @param doubted a check that failed later puts this run under review. */
export const meterFactsOf = (state: RunState, doubted = false): MeterFact[] => {
  const { started } = state
  const { meter, practice, utc } = started
  if (meter === null || practice !== undefined) return []
  const { certificate, serialNumber, assetNumber, kind } = meter.register
  const calibration = calibrationAt(meter.register, utc)
  const fact = (name: string, text: string, warn = false): MeterFact[] => (text === '' ? [] : [{ name, words: text, warn }])
  return [
    // Where values of another one follow, it is said whose certificate this is.
    ...fact('Begun with', metersOf(state) === meter.name ? '' : meter.name), ...fact('Kind of meter', kind),
    ...fact('Meter serial number', serialNumber), ...fact('Asset number', assetNumber),
    ...fact('Which meter it was', identityInRecord[started.identity ?? 'assumed']),
    ...(certificate === null ? fact('Calibration', calibration.words)
      : [
          ...fact('Certificate', certificateWords(certificate)),
          ...fact('Calibration due', calibration.state === 'overdue' ? `${certificate.due}, overdue when this run started` : calibration.state === 'none' ? calibration.words : certificate.due, calibration.state !== 'in-date'),
        ]),
    ...(doubted && !isBenchRun(started.board.id) ? fact('Under review', 'a check of this meter failed after the last good one before this run; see Meters', true) : []),
    ...calibration.remarks.flatMap((remark) => fact('Of the certificate', remark, true)),
  ]
}
