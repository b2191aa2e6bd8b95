/** Records on disk: appended, read back as they are, and never changed; the file itself refuses to change or to drop one. */
import { recordEntry, type RecordEntry } from '../../../src-core/record/commands'
import type { RecordLink } from '../../../src-core/record/terms'
import type { IssuedRecord } from '../record/issued'
import { carryOver, withoutCarryOver, type Database } from './open-store'

export type Job = { customer: string | null; job: string }

export type RecordStore = {
  /** Returns when it is on disk, with whatever `within` writes in the same transaction. @throws Error when it is not, or does not follow the last one. */
  append: (issued: IssuedRecord, within: () => void) => void
  /** To be called a turn of the loop after `append`. */
  settle: () => void
  last: () => (RecordLink & { sequence: number; chain: string }) | null
  lastInJob: (job: Job) => { position: number; link: RecordLink } | null
  entry: (number: string) => RecordEntry | null
  /** Oldest first. */
  ofRun: (run: string) => RecordEntry[]
  /** Newest first, behind `after`. */
  list: (job: Job | null, after: number | null, most: number) => RecordEntry[]
  /** Oldest first. */
  linksOfJob: (job: Job) => RecordLink[]
  /** The record as it was issued: canonical JSON with a line feed. */
  text: (number: string) => string | null
}

const columns = 'entry, (SELECT later.number FROM record later WHERE later.replaces = record.number) replaced_by'
/** A customer that is not stated is a customer of its own. */
const ofJob = 'customer IS ? AND job = ?'

export const openRecordStore = (database: Database): RecordStore => {
  const add = database.prepare(`INSERT INTO record (sequence, number, chain, run, customer, job, position, sha256, previous_sha256, replaces, entry, body)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, CAST(? AS TEXT))`)
  const readLast = database.prepare('SELECT sequence, number, sha256, chain FROM record ORDER BY sequence DESC LIMIT 1')
  const readLastInJob = database.prepare(`SELECT number, sha256, position FROM record WHERE ${ofJob} ORDER BY sequence DESC LIMIT 1`)
  const readEntry = database.prepare(`SELECT ${columns} FROM record WHERE number = ?`)
  const readOfRun = database.prepare(`SELECT ${columns} FROM record WHERE run = ? ORDER BY sequence`)
  const readList = database.prepare(`SELECT ${columns} FROM record WHERE sequence < ? ORDER BY sequence DESC LIMIT ?`)
  const readListOfJob = database.prepare(`SELECT ${columns} FROM record WHERE sequence < ? AND ${ofJob} ORDER BY sequence DESC LIMIT ?`)
  const readLinks = database.prepare(`SELECT number, sha256 FROM record WHERE ${ofJob} ORDER BY sequence`)
  const readBody = database.prepare('SELECT body FROM record WHERE number = ?')

  const entryFrom = (row: Record<string, unknown>): RecordEntry =>
    recordEntry.parse({ ...(JSON.parse(String(row.entry)) as object), replacedBy: row.replaced_by === null ? null : String(row.replaced_by) })
  const linkFrom = (row: Record<string, unknown>): RecordLink => ({ number: String(row.number), sha256: String(row.sha256) })

  const last: RecordStore['last'] = () => {
    const row = readLast.get()
    return row === undefined ? null : { ...linkFrom(row), sequence: Number(row.sequence), chain: String(row.chain) }
  }

  const append: RecordStore['append'] = ({ entry, chain, bytes }, within) => {
    const before = last()
    const { previous, sequence } = chain
    if (sequence !== (before?.sequence ?? 0) + 1 || previous?.sha256 !== before?.sha256) throw new Error(`Record ${entry.number} does not follow ${before?.number ?? 'the beginning'}. It was not stored.`)
    database.exec('BEGIN IMMEDIATE')
    try {
      add.run(sequence, entry.number, chain.id, entry.run, entry.customer, entry.job, chain.inJob?.position ?? null, entry.sha256,
        previous?.sha256 ?? null, entry.replaces, JSON.stringify(entry), bytes)
      within()
      database.exec('COMMIT')
    } catch (error) {
      // On a full disk SQLite has rolled back by itself; a second time would hide why.
      if (database.isTransaction) database.exec('ROLLBACK')
      throw error
    }
  }

  return {
    last,
    append: (issued, within) => { withoutCarryOver(database, () => { append(issued, within) }) },
    settle: () => {
      try {
        carryOver(database)
      } catch {
        // The record is on disk, in the log; a later commit carries it over.
      }
    },
    lastInJob: ({ customer, job }) => {
      const row = readLastInJob.get(customer, job)
      return row === undefined ? null : { position: Number(row.position), link: linkFrom(row) }
    },
    entry: (number) => {
      const row = readEntry.get(number)
      return row === undefined ? null : entryFrom(row)
    },
    ofRun: (run) => readOfRun.all(run).map(entryFrom),
    list: (job, after, most) => {
      const before = after ?? Number.MAX_SAFE_INTEGER
      return (job === null ? readList.all(before, most) : readListOfJob.all(before, job.customer, job.job, most)).map(entryFrom)
    },
    linksOfJob: ({ customer, job }) => readLinks.all(customer, job).map(linkFrom),
    text: (number) => {
      const row = readBody.get(number)
      return row === undefined ? null : String(row.body)
    },
  }
}
