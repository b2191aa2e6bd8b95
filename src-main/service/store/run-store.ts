/** Runs on disk: an event is appended in one committed transaction before anyone sees it, and read back as it was. */
import { z } from 'zod'
import { measuredValue, meterFunction } from '../../../src-core/meter/reading'
import { isTouched } from '../../../src-core/run/meter-of'
import type { CapturedInRun } from '../../../src-core/run/closing'
import type { RunEvent } from '../../../src-core/run/event'
import { parseRunEvent } from '../../../src-core/run/event'
import type { Database } from './open-store'

export type RunRow = {
  run: string; board: string; revision: string; sha256: string; serialNumber: string; practice: boolean; meter: string | null
  startedUtc: string; verdict: 'pass' | 'fail' | 'beyond-repair' | 'incomplete' | null; values: number
  /** When its last value was taken; null: none was. */
  lastValueUtc: string | null
}

export type RunStore = {
  /** Returns when the events are on disk, with whatever `within` writes in the same transaction. @throws Error when they are not; then nothing was written. */
  append: (events: readonly RunEvent[], within?: () => void) => void
  events: (run: string) => RunEvent[]
  event: (run: string, seq: number) => RunEvent | null
  /** The events as they lie in the file, JSON text, for an export that is exact. */
  bodies: (run: string) => string[]
  /** The same in pieces that the serial loop does not feel: at most `most` events behind event `seq`. Events are only ever added, so that pieces read one after the other are the run. */
  bodiesAfter: (run: string, seq: number, most: number) => string[]
  find: (run: string) => RunRow | null
  /** Runs that began with this meter or went on with it, oldest first. */
  startedSince: (meter: string, utc: string) => RunRow[]
  /** Runs that began or went on with this meter, and were begun or still measured since then; oldest first. */
  measuredSince: (meter: string, utc: string) => RunRow[]
  /** Runs on this board that have no end. */
  unended: (board: string) => string[]
  /** What a run captured, without reading its events whole. */
  captured: (run: string) => CapturedInRun[]
  lastSeq: (run: string) => number
  /** The newest practice run of this board with nothing hidden in it that passed and in which a walk was learned; null: there is none. */
  practised: (board: string, revision: string) => string | null
  /** The run of the same unit that was begun behind this one; null: none was. */
  follower: (run: string) => string | null
}

const capturedRow = z.strictObject({ step: z.string(), function: meterFunction, value: measuredValue })

const verdicts = ['pass', 'fail', 'beyond-repair', 'incomplete'] as const

const rowFrom = (row: Record<string, unknown>): RunRow => ({
  run: String(row.run), board: String(row.board), revision: String(row.revision), sha256: String(row.sha256), serialNumber: String(row.serial_number),
  practice: row.practice === 1, meter: row.meter === null ? null : String(row.meter), startedUtc: String(row.started_utc),
  verdict: verdicts.find((verdict) => verdict === row.verdict) ?? null, values: Number(row.captured),
  lastValueUtc: row.last_value_utc === null ? null : String(row.last_value_utc),
})

export const openRunStore = (database: Database): RunStore => {
  const addRun = database.prepare('INSERT INTO run (run, board, revision, sha256, serial_number, practice, meter, started_utc) VALUES (?, ?, ?, ?, ?, ?, ?, ?)')
  const addEvent = database.prepare('INSERT INTO event (run, seq, body) VALUES (?, ?, ?)')
  const addValue = database.prepare('UPDATE run SET captured = captured + 1, last_value_utc = ? WHERE run = ?')
  const setVerdict = database.prepare('UPDATE run SET verdict = ? WHERE run = ?')
  const readEvents = database.prepare('SELECT body FROM event WHERE run = ? ORDER BY seq')
  const readAfter = database.prepare('SELECT body FROM event WHERE run = ? AND seq > ? ORDER BY seq LIMIT ?')
  const readRun = database.prepare('SELECT * FROM run WHERE run = ?')
  const readEvent = database.prepare('SELECT body FROM event WHERE run = ? AND seq = ?')
  const readSince = database.prepare(`SELECT * FROM run WHERE meter = ?1 AND started_utc >= ?2 UNION SELECT * FROM run WHERE started_utc >= ?2 AND run IN (
    SELECT run FROM event WHERE json_extract(body, '$.kind') = 'meter-back' AND json_extract(body, '$.meter.id') = ?1) ORDER BY started_utc`)
  const readMeasured = database.prepare(`SELECT * FROM run WHERE meter = ?1 AND started_utc >= ?2 UNION SELECT * FROM run WHERE meter = ?1 AND last_value_utc >= ?2
    UNION SELECT * FROM run WHERE (started_utc >= ?2 OR last_value_utc >= ?2) AND run IN (
    SELECT run FROM event WHERE json_extract(body, '$.kind') = 'meter-back' AND json_extract(body, '$.meter.id') = ?1) ORDER BY started_utc`)

  const readCaptured = database.prepare(`SELECT json_extract(body, '$.step') step, json_extract(body, '$.function') fn, coalesce(json_extract(body, '$.value'), json_extract(body, '$.minimum.value')) value
    FROM event WHERE run = ? AND (json_extract(body, '$.kind') IN ('captured', 'learned', 'compared') OR (json_extract(body, '$.kind') = 'watched' AND json_extract(body, '$.minimum.value') IS NOT NULL)) ORDER BY seq`)
  const readUnended = database.prepare('SELECT run FROM run WHERE board = ? AND verdict IS NULL')
  const readFollower = database.prepare(`SELECT run FROM event WHERE json_extract(body, '$.kind') = 'started' AND json_extract(body, '$.follows.run') = ? ORDER BY run LIMIT 1`)
  const readPractised = database.prepare(`SELECT run FROM run WHERE board = ? AND revision = ? AND practice = 1 AND verdict = 'pass'
    AND EXISTS (SELECT 1 FROM event WHERE event.run = run.run AND json_extract(body, '$.kind') = 'learned')
    AND EXISTS (SELECT 1 FROM event WHERE event.run = run.run AND seq = 1 AND json_array_length(body, '$.practice.faults') = 0) ORDER BY started_utc DESC LIMIT 1`)
  const readLast = database.prepare('SELECT max(seq) seq FROM event WHERE run = ?')

  const write = (event: RunEvent): void => {
    if (event.kind === 'started') {
      addRun.run(event.run, event.board.id, event.board.revision, event.board.sha256, event.serialNumber, event.practice === undefined ? 0 : 1, event.meter?.id ?? null, event.utc)
    }
    addEvent.run(event.run, event.seq, JSON.stringify(event))
    if (isTouched(event)) addValue.run(event.utc, event.run)
    if (event.kind === 'ended') setVerdict.run(event.verdict, event.run)
    // An undo after the end opens the run again.
    if (event.kind === 'undone') setVerdict.run(null, event.run)
  }

  return {
    append: (events, within) => {
      database.exec('BEGIN IMMEDIATE')
      try {
        for (const event of events) write(event)
        within?.()
        database.exec('COMMIT')
      } catch (error) {
        // On a full disk SQLite has rolled back by itself; a second time would hide why.
        if (database.isTransaction) database.exec('ROLLBACK')
        throw error
      }
    },
    events: (run) => readEvents.all(run).map((row) => parseRunEvent(JSON.parse(String(row.body)))),
    find: (run) => {
      const row = readRun.get(run)
      return row === undefined ? null : rowFrom(row)
    },
    bodies: (run) => readEvents.all(run).map((row) => String(row.body)),
    bodiesAfter: (run, seq, most) => readAfter.all(run, seq, most).map((row) => String(row.body)),
    event: (run, seq) => {
      const row = readEvent.get(run, seq)
      return row === undefined ? null : parseRunEvent(JSON.parse(String(row.body)))
    },
    captured: (run) => readCaptured.all(run).map((row) => capturedRow.parse({ step: row.step, function: row.fn, value: row.value })),
    unended: (board) => readUnended.all(board).map((row) => String(row.run)),
    lastSeq: (run) => Number(readLast.get(run)?.seq ?? 0),
    practised: (board, revision) => { const row = readPractised.get(board, revision); return row === undefined ? null : String(row.run) },
    follower: (run) => { const row = readFollower.get(run); return row === undefined ? null : String(row.run) },
    measuredSince: (meter, utc) => readMeasured.all(meter, utc).map(rowFrom),
    startedSince: (meter, utc) => readSince.all(meter, utc).map(rowFrom),
  }
}
