/** Changes one byte of a record's file at a time and tells which change `verify` did not find. */
import { recordOfRun } from '../../../src-core/record/from-run'
import { fileText } from '../../../src-core/record/seal'
import { verify } from '../../../src-core/record/verify'
import { checks, publicHexOf } from '../../../src-main/service/record/signatures'
import { sealedRecord, shortened, sourcesMade, testKey } from '../../bench-tools/made-records'

const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true })
const keys = [{ publicKey: publicHexOf(testKey), name: 'own' }]

/** The bytes of a small record; the line feed behind its content is not part of it. */
export const recordBytes = (): Buffer => Buffer.from(fileText(sealedRecord(recordOfRun(sourcesMade({ of: shortened(3) })))).trimEnd(), 'utf8')

/** Whether `verify` says that these bytes are not the record. */
export const isFound = (bytes: Buffer): boolean => {
  let text: string
  try {
    text = decoder.decode(bytes)
  } catch {
    return true // the file is no text any more, which the command line says of it
  }
  const { verdict } = verify([{ name: 'changed', text }], keys, checks)
  return verdict === 'changed' || verdict === 'not-a-record'
}

/** @param to what each byte becomes. Empty: every change was found. */
export const missed = (bytes: Buffer, places: readonly number[], to: (byte: number, place: number) => number): string[] => places.flatMap((place) => {
  const changed = Buffer.from(bytes)
  const old = bytes[place] ?? 0
  const value = to(old, place) & 0xff
  if (value === old) throw new Error(`byte ${place} was not changed`)
  changed[place] = value
  return isFound(changed) ? [] : [`byte ${place} from ${old} to ${value}: ${changed.subarray(Math.max(0, place - 20), place + 20).toString('utf8')}`]
})
