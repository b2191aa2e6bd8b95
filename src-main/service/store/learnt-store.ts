/** What the shop has learnt, in summary tables of the store: taken in run by run, and taken back where a run's end is. */
import { z } from 'zod'
import type { MeterFunction } from '../../../src-core/meter/reading'
import { meterFunction } from '../../../src-core/meter/reading'
import { verdict } from '../../../src-core/metrology/limits'
import type { Count, CountKind, DigestValue, RunDigest } from '../../../src-core/shop/run-digest'
import { nothingYet, withoutValue, withValue, type Running } from '../../../src-core/shop/running-summary'
import type { Database } from './open-store'

/** Of the values of runs that passed, by meter. `low`, `high`: the limits of the last of them, SI. */
export type StepRow = { step: string; meter: string; function: MeterFunction; running: Running; low: number | null; high: number | null }
export type ValueRow = DigestValue & { run: string; passed: boolean; serialNumber: string }
export type CountRow = Count & { count: number }

export type LearntStore = {
  /** Runs that are due, in no order. */
  due: () => string | null
  dueCount: () => number
  /** In one transaction: what was learnt of the run before is taken back, the digest taken in (null: it teaches nothing), and the run is due no more. */
  take: (run: string, digest: RunDigest | null) => void
  /** Everything learnt is dropped, and every run that has ended is due. */
  forgetAll: () => void
  counts: (board: string, revision: string) => CountRow[]
  /** What one run was counted for. */
  countsOf: (run: string) => Count[]
  steps: (board: string, revision: string) => StepRow[]
  /** Of the newest run that was taken in, of its board file. */
  fileOf: (board: string, revision: string) => string | null
  /** The latest first, before `before`. */
  values: (board: string, revision: string, step: string, before: { utc: string; run: string } | null, most: number) => ValueRow[]
  /** Those of runs that passed, the latest first. */
  goodValues: (board: string, revision: string, step: string, most: number) => ValueRow[]
}

const keptVerdict = z.union([verdict, z.literal('learned')])
const kept = z.strictObject({ counts: z.array(z.tuple([z.string(), z.string()])), values: z.array(z.tuple([z.string(), z.string()])) })

const numberOrNull = (value: unknown): number | null => (typeof value === 'number' ? value : null)

const valueFrom = (step: string) => (row: Record<string, unknown>): ValueRow => ({
  step, utc: String(row.utc), run: String(row.run), serialNumber: String(row.serial_number), meter: String(row.meter), function: meterFunction.parse(row.function), value: numberOrNull(row.value), U: numberOrNull(row.u),
  low: numberOrNull(row.low), high: numberOrNull(row.high), verdict: keptVerdict.parse(row.verdict), passed: row.passed === 1,
})

export const openLearntStore = (database: Database): LearntStore => {
  const readDue = database.prepare('SELECT run FROM to_learn LIMIT 1')
  const countDue = database.prepare('SELECT count(*) due FROM to_learn')
  const settled = database.prepare('DELETE FROM to_learn WHERE run = ?')
  const readRun = database.prepare('SELECT board, revision, passed, counts FROM learnt_run WHERE run = ?')
  const addRun = database.prepare('INSERT INTO learnt_run (run, board, revision, passed, minutes, counts) VALUES (?, ?, ?, ?, ?, ?)')
  const dropRun = database.prepare('DELETE FROM learnt_run WHERE run = ?')
  const addCount = database.prepare('INSERT INTO learnt_count (board, revision, what, key, count) VALUES (?1, ?2, ?3, ?4, ?5) ON CONFLICT DO UPDATE SET count = count + ?5')
  const dropCount = database.prepare('DELETE FROM learnt_count WHERE board = ? AND revision = ? AND what = ? AND key = ? AND count <= 0')
  const addValue = database.prepare(`INSERT INTO learnt_value (board, revision, step, utc, run, serial_number, meter, function, value, u, low, high, verdict, passed)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`)
  const takeValue = database.prepare('DELETE FROM learnt_value WHERE board = ? AND revision = ? AND step = ? AND utc = ? AND run = ? RETURNING value, meter, passed')
  const readStep = database.prepare('SELECT count, mean, squares FROM learnt_step WHERE board = ? AND revision = ? AND step = ? AND meter = ?')
  const writeStep = database.prepare(`INSERT INTO learnt_step (board, revision, step, meter, function, count, mean, squares, low, high) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
    ON CONFLICT DO UPDATE SET function = excluded.function, count = excluded.count, mean = excluded.mean, squares = excluded.squares, low = excluded.low, high = excluded.high`)
  const changeStep = database.prepare('UPDATE learnt_step SET count = ?, mean = ?, squares = ? WHERE board = ? AND revision = ? AND step = ? AND meter = ?')
  const readCounts = database.prepare('SELECT what, key, count FROM learnt_count WHERE board = ? AND revision = ?')
  const readSteps = database.prepare('SELECT * FROM learnt_step WHERE board = ? AND revision = ?')
  const readValues = database.prepare(`SELECT * FROM learnt_value WHERE board = ?1 AND revision = ?2 AND step = ?3 AND (utc, run) < (?4, ?5) ORDER BY utc DESC, run DESC LIMIT ?6`)

  const readGood = database.prepare('SELECT * FROM learnt_value WHERE board = ? AND revision = ? AND step = ? AND passed = 1 ORDER BY utc DESC, run DESC LIMIT ?')
  const readFile = database.prepare('SELECT sha256 FROM run INDEXED BY run_board WHERE board = ? AND revision = ? ORDER BY started_utc DESC, run.run DESC LIMIT 1')

  const runningAt = (board: string, revision: string, step: string, meter: string): Running => {
    const row = readStep.get(board, revision, step, meter)
    return row === undefined ? nothingYet : { count: Number(row.count), mean: Number(row.mean), squares: Number(row.squares) }
  }

  const takeBack = (run: string): void => {
    const row = readRun.get(run)
    if (row === undefined) return
    const [board, revision] = [String(row.board), String(row.revision)]
    const { counts, values } = kept.parse(JSON.parse(String(row.counts)))
    for (const [what, key] of counts) {
      addCount.run(board, revision, what, key, -1)
      dropCount.run(board, revision, what, key)
    }
    for (const [step, utc] of values) {
      const value = takeValue.get(board, revision, step, utc, run)
      if (value === undefined || typeof value.value !== 'number' || value.passed !== 1) continue
      const meter = String(value.meter)
      const { count, mean, squares } = withoutValue(runningAt(board, revision, step, meter), value.value)
      changeStep.run(count, mean, squares, board, revision, step, meter)
    }
    dropRun.run(run)
  }

  const takeIn = ({ run, board, revision, serialNumber, passed, minutes, values, counts }: RunDigest): void => {
    addRun.run(run, board, revision, passed ? 1 : 0, minutes, JSON.stringify({ counts: counts.map(({ what, key }) => [what, key]), values: values.map(({ step, utc }) => [step, utc]) }))
    for (const { what, key } of counts) addCount.run(board, revision, what, key, 1)
    for (const { step, utc, meter, function: what, value, U, low, high, verdict: is } of values) {
      addValue.run(board, revision, step, utc, run, serialNumber, meter, what, value, U, low, high, is, passed ? 1 : 0)
      if (value === null || !passed) continue
      const { count, mean, squares } = withValue(runningAt(board, revision, step, meter), value)
      writeStep.run(board, revision, step, meter, what, count, mean, squares, low, high)
    }
  }

  const inOne = (work: () => void): void => {
    database.exec('BEGIN IMMEDIATE')
    try {
      work()
      database.exec('COMMIT')
    } catch (error) {
      if (database.isTransaction) database.exec('ROLLBACK')
      throw error
    }
  }

  return {
    due: () => {
      const row = readDue.get()
      return row === undefined ? null : String(row.run)
    },
    dueCount: () => Number(countDue.get()?.due ?? 0),
    take: (run, digest) => {
      inOne(() => {
        takeBack(run)
        if (digest !== null) takeIn(digest)
        settled.run(run)
      })
    },
    forgetAll: () => {
      inOne(() => {
        database.exec(`DELETE FROM learnt_run; DELETE FROM learnt_count; DELETE FROM learnt_value; DELETE FROM learnt_step;
          INSERT OR IGNORE INTO to_learn SELECT run FROM run WHERE verdict IS NOT NULL AND practice = 0;`)
      })
    },
    counts: (board, revision) => readCounts.all(board, revision).map((row) => ({ what: String(row.what) as CountKind, key: String(row.key), count: Number(row.count) })),
    countsOf: (run) => {
      const row = readRun.get(run)
      return row === undefined ? [] : kept.parse(JSON.parse(String(row.counts))).counts.map(([what, key]) => ({ what: what as CountKind, key }))
    },
    steps: (board, revision) => readSteps.all(board, revision).map((row) => ({
      step: String(row.step), meter: String(row.meter), function: meterFunction.parse(row.function),
      running: { count: Number(row.count), mean: Number(row.mean), squares: Number(row.squares) }, low: numberOrNull(row.low), high: numberOrNull(row.high),
    })),
    fileOf: (board, revision) => {
      const row = readFile.get(board, revision)
      return row === undefined ? null : String(row.sha256)
    },
    values: (board, revision, step, before, most) => readValues.all(board, revision, step, before?.utc ?? '9999', before?.run ?? '', most).map(valueFrom(step)),
    goodValues: (board, revision, step, most) => readGood.all(board, revision, step, most).map(valueFrom(step)),
  }
}
