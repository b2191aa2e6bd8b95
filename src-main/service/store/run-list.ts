/** The list of runs from the store, a page by its last row: every filter and the order in SQL along one index, a slice of it at a time. */
import type { PlaceInList, RunEntry, RunFilter, RunPage } from '../../../src-core/run/run-list'
import { runVerdict } from '../../../src-core/run/run-list'
import { createTurns } from '../turns'
import type { Database } from './open-store'

export type RunList = {
  /** Newest first, behind `after`. */
  page: (filter: RunFilter, after: PlaceInList | null, most: number) => Promise<RunPage>
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
const withName = 'LEFT JOIN board_file INDEXED BY board_name ON board_file.sha256 = run.sha256'
/** Every filter lies in this index, in the order of the list. */
const alongList = 'run INDEXED BY run_newest'
/** Rows of the index looked through before the loop may turn: a part of a serial number is looked for in these in well under 1 ms. */
const rowsASlice = 1000
/** Before every row of the list. */
const top: PlaceInList = { startedUtc: '9999-12-31T23:59:59.999Z', run: '' }

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

/** The rows down to a place, itself among them. */
const downTo = ({ startedUtc, run }: PlaceInList): Condition =>
  ({ sql: 'run.started_utc >= ? AND (run.started_utc > ? OR run.run >= ?)', values: [startedUtc, startedUtc, run] })

const where = (conditions: readonly Condition[]): string => (conditions.length === 0 ? '' : `WHERE ${conditions.map(({ sql }) => sql).join(' AND ')}`)
const valuesOf = (conditions: readonly Condition[]): (string | number)[] => conditions.flatMap(({ values }) => values)

const order = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)

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
  /** The newest run of a board type and revision, one step down an index, however many runs there are: of the next revision, and of the next board type. */
  const newest = (next: string): string => `SELECT run.board, run.revision, run.started_utc, board_file.name FROM run INDEXED BY run_board ${withName}
    WHERE ${next} ORDER BY run.board, run.revision, run.started_utc DESC, run.run DESC LIMIT 1`
  const readNextRevision = database.prepare(newest('run.board = ? AND run.revision > ?'))
  const readNextBoard = database.prepare(newest('run.board > ?'))
  const readSame = database.prepare(`SELECT ${columns} FROM run ${withName} WHERE run.serial_number = ? AND run.board = ? AND run.practice = 0 ORDER BY run.started_utc DESC LIMIT 1`)
  const countSame = database.prepare('SELECT count(*) times FROM run WHERE serial_number = ? AND board = ? AND practice = 0')
  const readSliceEnd = database.prepare(`SELECT started_utc, run FROM ${alongList} WHERE ${behind(top).sql} ORDER BY started_utc DESC, run DESC LIMIT 1 OFFSET ?`)

  const newestOfEach = (): { board: string; revision: string; startedUtc: string; name: string }[] => {
    const found: ReturnType<typeof newestOfEach> = []
    let row = readNextBoard.get('')
    while (row !== undefined) {
      const [board, revision] = [String(row.board), String(row.revision)]
      found.push({ board, revision, startedUtc: String(row.started_utc), name: typeof row.name === 'string' && row.name !== '' ? row.name : board })
      row = readNextRevision.get(board, revision) ?? readNextBoard.get(board)
    }
    return found
  }

  /** Conditions of one slice of the list after another, from the newest run to the oldest. */
  const slices = function* ({ from, to }: RunFilter): Generator<Condition[]> {
    let begin: PlaceInList = to === undefined ? top : { startedUtc: to, run: '' }
    for (;;) {
      const row = readSliceEnd.get(...behind(begin).values, rowsASlice - 1)
      if (row === undefined) return yield [behind(begin)]
      const end = { startedUtc: String(row.started_utc), run: String(row.run) }
      yield [behind(begin), downTo(end)]
      if (from !== undefined && end.startedUtc < asStored(from)) return
      begin = end
    }
  }

  return {
    page: async (filter, after, most) => {
      const fits = conditionsOf(filter)
      const turn = createTurns()
      const runs: RunEntry[] = []
      let total = 0
      for (const slice of slices(filter)) {
        const inSlice = [...slice, ...fits]
        total += Number(statement(`SELECT count(*) total FROM ${alongList} ${where(inSlice)}`).get(...valuesOf(inSlice))?.total)
        const due = most + 1 - runs.length
        const wanted = after === null ? inSlice : [...inSlice, behind(after)]
        if (due > 0) {
          runs.push(...statement(`SELECT ${columns} FROM ${alongList} ${withName} ${where(wanted)} ORDER BY run.started_utc DESC, run.run DESC LIMIT ?`)
            .all(...valuesOf(wanted), due).map(entryFrom))
        }
        await turn()
      }
      const shown = runs.slice(0, most)
      const last = shown.at(-1)
      return { runs: shown, total, next: runs.length > most && last !== undefined ? { startedUtc: last.startedUtc, run: last.run } : null }
    },
    unfinished: (most) => readUnfinished.all(most).map(entryFrom),
    entry: (run) => {
      const row = readEntry.get(run)
      return row === undefined ? null : entryFrom(row)
    },
    latest: () => {
      const newest = new Map<string, string>()
      for (const { board, startedUtc } of newestOfEach()) if (startedUtc > (newest.get(board) ?? '')) newest.set(board, startedUtc)
      return [...newest].map(([board, startedUtc]) => ({ board, startedUtc }))
    },
    boards: () => newestOfEach().sort((a, b) => order(a.name, b.name) || order(a.revision, b.revision)).map(({ board, revision, name }) => ({ board, revision, name })),
    measuredBefore: (board, serialNumber) => {
      const row = readSame.get(serialNumber, board)
      return { last: row === undefined ? null : entryFrom(row), times: Number(countSame.get(serialNumber, board)?.times) }
    },
  }
}
