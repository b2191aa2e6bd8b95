/** Jobs on disk, and which runs were made of their units. */
import { job, type Job, type UnitRun } from '../../../src-core/shop/job'
import { runVerdict } from '../../../src-core/run/run-list'
import type { Database } from './open-store'

export type JobStore = {
  /** Newest first. */
  list: () => Job[]
  read: (id: string) => Job | null
  save: (...jobs: readonly Job[]) => void
  /** A run was begun of this unit. */
  link: (run: string, of: { job: string; unit: string }) => void
  /** A run was begun behind another one of the same unit; nothing where that one is of no job. */
  linkBehind: (run: string, before: string) => void
  jobOf: (run: string) => string | null
  /** In the order they were begun. */
  runs: (id: string) => UnitRun[]
}

export const openJobStore = (database: Database): JobStore => {
  const readAll = database.prepare('SELECT body FROM job ORDER BY opened_utc DESC, id')
  const readOne = database.prepare('SELECT body FROM job WHERE id = ?')
  const write = database.prepare('INSERT INTO job (id, opened_utc, body) VALUES (?, ?, ?) ON CONFLICT (id) DO UPDATE SET body = excluded.body')
  const addRun = database.prepare('INSERT OR IGNORE INTO job_run (run, job, unit) VALUES (?, ?, ?)')
  const addBehind = database.prepare('INSERT OR IGNORE INTO job_run (run, job, unit) SELECT ?, job, unit FROM job_run WHERE run = ?')
  const moveRuns = database.prepare('UPDATE job_run SET job = ? WHERE unit = ?')
  const findJob = database.prepare('SELECT job FROM job_run WHERE run = ?')
  const readRuns = database.prepare(`SELECT job_run.unit, job_run.run, run.started_utc, run.verdict, learnt_run.minutes,
    (SELECT number FROM record WHERE record.run = job_run.run ORDER BY sequence DESC LIMIT 1) record
    FROM job_run JOIN run ON run.run = job_run.run LEFT JOIN learnt_run ON learnt_run.run = job_run.run WHERE job_run.job = ? ORDER BY run.started_utc, run.run`)
  const parsed = (body: unknown): Job => job.parse(JSON.parse(String(body)))
  return {
    list: () => readAll.all().map((row) => parsed(row.body)),
    read: (id) => {
      const row = readOne.get(id)
      return row === undefined ? null : parsed(row.body)
    },
    save: (...jobs) => {
      database.exec('BEGIN IMMEDIATE')
      try {
        for (const each of jobs) {
          write.run(each.id, each.opened, JSON.stringify(job.parse(each)))
          for (const { unit } of each.units) moveRuns.run(each.id, unit)
        }
        database.exec('COMMIT')
      } catch (error) {
        if (database.isTransaction) database.exec('ROLLBACK')
        throw error
      }
    },
    link: (run, { job: id, unit }) => { addRun.run(run, id, unit) },
    linkBehind: (run, before) => { addBehind.run(run, before) },
    jobOf: (run) => {
      const row = findJob.get(run)
      return row === undefined ? null : String(row.job)
    },
    runs: (id) => readRuns.all(id).map((row) => ({
      unit: String(row.unit), run: String(row.run), startedUtc: String(row.started_utc), verdict: row.verdict === null ? null : runVerdict.parse(row.verdict),
      minutes: typeof row.minutes === 'number' ? row.minutes : null, record: row.record === null ? null : String(row.record),
    })),
  }
}
