/** What a record says of the meter a run began with: who it was, how sure that was, and whether its calibration held at that moment. */
import { calibrationAt } from '../meter/calibration'
import { identityInRecord } from '../meter/identity'
import type { RunState } from './state'

/** `warn`: it speaks against the values. */
export type MeterFact = { name: string; words: string; warn: boolean }

const certificateWords = ({ number, laboratory, accreditation, calibrated }: { number: string; laboratory: string; accreditation: string; calibrated: string }): string =>
  [`${number} of ${calibrated}`, laboratory, ...(accreditation === '' ? [] : [accreditation])].join(', ')

/** Empty for a practice run, and for a run begun without a meter. */
export const meterFactsOf = ({ started }: RunState): MeterFact[] => {
  const { meter, practice, utc } = started
  if (meter === null || practice !== undefined) return []
  const { certificate, serialNumber, assetNumber, kind } = meter.register
  const { state, words, remarks } = calibrationAt(meter.register, utc)
  const fact = (name: string, text: string, warn = false): MeterFact[] => (text === '' ? [] : [{ name, words: text, warn }])
  return [
    ...fact('Begun with', kind === '' ? meter.name : `${meter.name}, ${kind}`),
    ...fact('Meter serial number', serialNumber), ...fact('Asset number', assetNumber),
    ...fact('Which meter it was', identityInRecord[started.identity ?? 'assumed']),
    ...(certificate === null ? fact('Calibration', words)
      : [
          ...fact('Certificate', certificateWords(certificate)),
          ...fact('Calibration due', state === 'overdue' ? `${certificate.due}, overdue when this run started` : state === 'none' ? words : certificate.due, state !== 'in-date'),
        ]),
    ...remarks.flatMap((remark) => fact('Of the certificate', remark, true)),
  ]
}
