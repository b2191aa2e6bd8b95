/** Whether a meter's calibration holds at a moment, in words: only while it does are its values traceable. */
import type { RegisterEntry } from './register'

export type Calibration = {
  state: 'in-date' | 'overdue' | 'none'
  words: string
  /** What else its certificate and its specification give reason to say. */
  remarks: string[]
}

const dayOf = (utc: string): string => utc.slice(0, 10)

/** The same day of the month, that many months on; the last of the month where it has no such day. */
export const monthsAfter = (day: string, months: number): string => {
  const [year = 0, month = 1, date = 1] = day.split('-').map(Number)
  const last = new Date(Date.UTC(year, month - 1 + months + 1, 0)).getUTCDate()
  return dayOf(new Date(Date.UTC(year, month - 1 + months, Math.min(date, last))).toISOString())
}

const remarksOf = ({ certificate, conditions }: RegisterEntry, today: string): string[] => {
  if (certificate === null) return []
  const { asFound, asLeft, calibrated, due } = certificate
  const statedUntil = conditions === null ? null : monthsAfter(calibrated, conditions.months)
  return [
    ...(asFound === 'outside specification' ? [`As found on ${calibrated} it was outside its specification: what it measured before that day is in doubt.`] : []),
    ...(asLeft === 'outside specification' ? [`As left on ${calibrated} it was outside its specification: its stated accuracy does not hold.`] : []),
    ...(statedUntil !== null && today > statedUntil && today <= due ? [`Its accuracy is stated for ${conditions?.months} months after a calibration; that ended on ${statedUntil}.`] : []),
  ]
}

/**
 * The day a calibration is due still belongs to it (common practice, no source); days are counted in UTC.
 * A certificate that is not yet begun is none.
 * @param utc the moment asked about, ISO 8601 with Z.
 */
export const calibrationAt = (register: RegisterEntry, utc: string): Calibration => {
  const { certificate } = register
  const today = dayOf(utc)
  if (certificate === null) return { state: 'none', words: 'No calibration certificate is entered for this meter: its values are not traceable.', remarks: [] }
  if (certificate.calibrated > today) {
    return { state: 'none', words: `The certificate of this meter, ${certificate.number}, holds from ${certificate.calibrated} only: its values are not traceable.`, remarks: [] }
  }
  const remarks = remarksOf(register, today)
  return today > certificate.due
    ? { state: 'overdue', words: `Calibration of this meter was due on ${certificate.due}: its values are not traceable.`, remarks }
    : { state: 'in-date', words: `Calibrated on ${certificate.calibrated}, due on ${certificate.due}.`, remarks }
}

/** What is said as a run starts: only what speaks against the values to come; what it found of earlier ones is for Meters. */
export const calibrationWarning = (register: RegisterEntry, utc: string): string | null => {
  const { state, words, remarks } = calibrationAt(register, utc)
  const against = [...(state === 'overdue' ? [words] : []), ...remarks.filter((each) => !each.startsWith('As found'))]
  return against.length === 0 ? null : against.join(' ')
}
