/** What only people know of a record: asked on a small sheet before it is issued; the last answers are offered again. */
import { z } from 'zod'
import type { StatedAir } from '../meter/surroundings'
import { oneLine } from '../quantity/printable'
import type { TestRecordContent } from './schema'

const line = (most: number) => z.string().max(most)

export const recordSheet = z.strictObject({
  issuer: line(300), place: line(200), technician: oneLine(120), authorisedBy: oneLine(120),
  customer: oneLine(200), job: oneLine(80),
  conditionAsReceived: line(1000),
  /** The day the item came in; null: not stated. */
  received: z.iso.date().nullable(),
  celsius: z.number().min(-50).max(80).nullable(), relativeHumidityPercent: z.number().min(0).max(100).nullable(),
})
export type RecordSheet = z.infer<typeof recordSheet>

/** What each answer is headed with, on the sheet and on the printed record. */
export const sheetWords = {
  issuer: 'Issued by', place: 'Place of the test', technician: 'Tested by', authorisedBy: 'Authorised by', customer: 'Customer', job: 'Job', conditionAsReceived: 'Condition as received',
  received: 'Received', celsius: 'Temperature', relativeHumidityPercent: 'Humidity',
} as const satisfies Record<keyof RecordSheet, string>

export const blankSheet: RecordSheet = {
  issuer: '', place: '', technician: '', authorisedBy: '', customer: '', job: '', conditionAsReceived: '', received: null, celsius: null, relativeHumidityPercent: null,
}

const wanted: readonly [keyof RecordSheet, string][] = [
  ['issuer', 'who issues the record (name and address of the shop)'], ['place', 'where it was tested'], ['technician', 'who tested it'],
  ['authorisedBy', 'who authorises the record'], ['conditionAsReceived', 'in which condition the item came in'],
]

const trimmed = (sheet: RecordSheet): RecordSheet => ({
  ...sheet, issuer: sheet.issuer.trim(), place: sheet.place.trim(), technician: sheet.technician.trim(), authorisedBy: sheet.authorisedBy.trim(),
  customer: sheet.customer.trim(), job: sheet.job.trim(), conditionAsReceived: sheet.conditionAsReceived.trim(),
})

/** The sheet without stray spaces, or what is still missing, in a sentence. @param today the day at the place of the test. */
export const checkedSheet = (typed: RecordSheet, today: string): { sheet: RecordSheet } | { refused: string } => {
  const sheet = trimmed(typed)
  const missing = wanted.filter(([name]) => sheet[name] === '').map(([, words]) => words)
  if (missing.length > 0) return { refused: `The sheet does not say ${missing.join(', nor ')}. Fill that in, then issue the record.` }
  if (sheet.received !== null && sheet.received > today) return { refused: `The item cannot have been received on ${sheet.received}, which is still to come. Correct the day.` }
  return { sheet }
}

/** What is offered for the next item: all but what is of one item only. @param air as it was stated for the run; else that of the last sheet. */
export const offeredFrom = (last: RecordSheet | null, air: StatedAir): RecordSheet => {
  const before = last ?? blankSheet
  const { celsius, relativeHumidityPercent } = air
  return { ...before, conditionAsReceived: '', celsius: celsius ?? before.celsius, relativeHumidityPercent: relativeHumidityPercent ?? before.relativeHumidityPercent }
}

/** What the sheet said that a record was made from: a correction begins with it. */
export const sheetBehind = ({ issuer, place, technician, authorisedBy, customer, job, item, dates, environment }: TestRecordContent): RecordSheet => ({
  issuer, place, technician, authorisedBy, customer: customer ?? '', job: job ?? '', conditionAsReceived: item.conditionAsReceived, received: dates.received,
  celsius: environment.celsius, relativeHumidityPercent: environment.relativeHumidityPercent,
})
