/** The list of runs from the store: every filter and the order in SQL with an index behind it, a page by its last row. */
import type { PlaceInList, RunEntry, RunFilter, RunPage } from '../../../src-core/run/run-list'
import { runVerdict } from '../../../src-core/run/run-list'
import type { Database } from './open-store'

export type RunList = {
  /** Newest first, behind `after`. */
  page: (filter: RunFilter, after: PlaceInList | null, most: number) => RunPage
  /** Runs that have not ended, newest first. */
  unfinished: (most: number) => RunEntry[]
  entry: (run: string) => RunEntry | null
  /** When each board type was last begun. */
  latest: () => { board: string; startedUtc: string }[]
  boards: () => { board: string; revision: string; name: string }[]
  /** Runs of real boards with exactly this serial number: the newest, and how many. */
  measuredBefore: (board: string, serialNumber: string) => { last: RunEntry | null; times: number }
}

type Condition = { sql: string; values: (string | number)[] }

const columns = 'run.run, run.board, run.revision, run.serial_number, run.practice, run.started_utc, run.verdict, run.captured, board_file.name'
const withName = 'LEFT JOIN board_file ON board_file.sha256 = run.sha256'

const entryFrom = (row: Record<string, unknown>): RunEntry => ({
  run: String(row.run), board: String(row.board), revision: String(row.revision), name: typeof row.name === 'string' && row.name !== '' ? row.name : String(row.board),
  serialNumber: String(row.serial_number), practice: row.practice === 1, startedUtc: String(row.started_utc),
  verdict: row.verdict === null ? null : runVerdict.parse(row.verdict), values: Number(row.captured),
})

/** A moment as the store writes it: with milliseconds, so that text sorts as time. */
const asStored = (moment: string): string => new Date(moment).toISOString()

const escaped = (text: string): string => text.replace(/[\\%_]/g, (sign) => `\\${sign}`)

const conditionsOf = (filter: RunFilter): Condition[] => [
  ...(filter.board === undefined ? [] : [{ sql: 'run.board = ?', values: [filter.board] }]),
  ...(filter.revision === undefined ? [] : [{ sql: 'run.revision = ?', values: [filter.revision] }]),
  ...(filter.serialNumber === undefined || filter.serialNumber === '' ? [] : [{ sql: "run.serial_number LIKE ? ESCAPE '\\'", values: [`%${escaped(filter.serialNumber)}%`] }]),
  ...(filter.from === undefined ? [] : [{ sql: 'run.started_utc >= ?', values: [asStored(filter.from)] }]),
  ...(filter.to === undefined ? [] : [{ sql: 'run.started_utc < ?', values: [asStored(filter.to)] }]),
  ...(filter.verdict === undefined ? [] : filter.verdict === 'not-ended' ? [{ sql: 'run.verdict IS NULL', values: [] }] : [{ sql: 'run.verdict = ?', values: [filter.verdict] }]),
  ...(filter.practice === undefined ? [] : [{ sql: 'run.practice = ?', values: [filter.practice ? 1 : 0] }]),
]

/** The rows behind a place, in the order of the list; the first comparison alone lets the index find it. */
const behind = ({ startedUtc, run }: PlaceInList): Condition =>
  ({ sql: 'run.started_utc <= ? AND (run.started_utc < ? OR run.run < ?)', values: [asStored(startedUtc), asStored(startedUtc), run] })

const where = (conditions: readonly Condition[]): string => (conditions.length === 0 ? '' : `WHERE ${conditions.map(({ sql }) => sql).join(' AND ')}`)
const valuesOf = (conditions: readonly Condition[]): (string | number)[] => conditions.flatMap(({ values }) => values)

export const openRunList = (database: Database): RunList => {
  /** One prepared statement for each shape of a question; there are few. */
  const prepared = new Map<string, ReturnType<Database['prepare']>>()
  const statement = (sql: string): ReturnType<Database['prepare']> => {
    const found = prepared.get(sql) ?? database.prepare(sql)
    prepared.set(sql, found)
    return found
  }
  const readEntry = database.prepare(`SELECT ${columns} FROM run ${withName} WHERE run.run = ?`)
  const readUnfinished = database.prepare(`SELECT ${columns} FROM run ${withName} WHERE run.verdict IS NULL ORDER BY run.started_utc DESC, run.run DESC LIMIT ?`)
  const readBoards = database.prepare(`SELECT run.board, run.revision, board_file.name, max(run.started_utc) newest FROM run ${withName} GROUP BY run.board, run.revision ORDER BY board_file.name, run.revision`)
  const readLatest = database.prepare('SELECT board, max(started_utc) newest FROM run GROUP BY board')
  const readSame = database.prepare(`SELECT ${columns} FROM run ${withName} WHERE run.serial_number = ? AND run.board = ? AND run.practice = 0 ORDER BY run.started_utc DESC`)

  return {
    page: (filter, after, most) => {
      const fits = conditionsOf(filter)
      const rest = after === null ? fits : [...fits, behind(after)]
      const runs = statement(`SELECT ${columns} FROM run ${withName} ${where(rest)} ORDER BY run.started_utc DESC, run.run DESC LIMIT ?`)
        .all(...valuesOf(rest), most + 1).map(entryFrom)
      const total = Number(statement(`SELECT count(*) total FROM run ${where(fits)}`).get(...valuesOf(fits))?.total)
      const shown = runs.slice(0, most)
      const last = shown.at(-1)
      return { runs: shown, total, next: runs.length > most && last !== undefined ? { startedUtc: last.startedUtc, run: last.run } : null }
    },
    unfinished: (most) => readUnfinished.all(most).map(entryFrom),
    entry: (run) => {
      const row = readEntry.get(run)
      return row === undefined ? null : entryFrom(row)
    },
    latest: () => readLatest.all().map(({ board, newest }) => ({ board: String(board), startedUtc: String(newest) })),
    boards: () => readBoards.all().map(({ board, revision, name }) => ({ board: String(board), revision: String(revision), name: typeof name === 'string' && name !== '' ? name : String(board) })),
    measuredBefore: (board, serialNumber) => {
      const same = readSame.all(serialNumber, board)
      return { last: same[0] === undefined ? null : entryFrom(same[0]), times: same.length }
    },
  }
}
