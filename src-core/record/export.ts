/** What leaves the shop with its records: the statement that ends a job, and the names of files. */
import type { JobStatementContent, TestRecordContent } from './schema'
import type { RecordLink } from './terms'
import type { RecordEntry } from './commands'

/** @param last the job's last record. @param records every record of the job, in order. @throws Error for a record of no job. */
export const statementOf = ({ chain, issuer, customer, job }: TestRecordContent, records: readonly RecordLink[], at: string): JobStatementContent => {
  const [first, last] = [records[0], records.at(-1)]
  if (job === null || first === undefined || last === undefined) throw new Error('A statement is of a job and its records.')
  return { chain: chain.id, issuer, customer, job, at, first: first.number, last: last.number, count: records.length, lastSha256: last.sha256, records: [...records] }
}

const plain = (text: string): string => text.normalize('NFKD').replace(/[^A-Za-z0-9]+/g, '-').slice(0, 40).replace(/^-+|-+$/g, '')

/** Readable, and safe on every file system: ASCII letters, digits, hyphens. Without its ending. */
const nameParts = (records: readonly Pick<RecordEntry, 'number' | 'board' | 'serialNumber'>[], job: string | null): string[] => {
  const [first] = records
  if (job !== null) return ['job', plain(job), 'records']
  if (records.length === 1 && first !== undefined) return ['record', first.number, plain(first.board), plain(first.serialNumber)]
  return ['records', first?.number ?? '', `${records.length}`]
}

export const recordExportName = (records: readonly Pick<RecordEntry, 'number' | 'board' | 'serialNumber'>[], job: string | null, ending = '.json'): string =>
  `${['probewright', ...nameParts(records, job)].filter((part) => part !== '').join('_')}${ending}`
