/** Opens the one SQLite file of a data folder: WAL, every commit on disk, one program at a time, migrations forward only. */
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { DatabaseSync } from '@photostructure/sqlite'

export type Database = InstanceType<typeof DatabaseSync>

/** Of the log, carried into the file by the commit that fills them: at SQLite's own 1000 pages (4 MB) one commit in mid-run would hold up the serial loop for 10 ms and more. */
const pagesCarried = 100

/** Commits what alone is long enough for the loop; `carryOver`, in a piece of work of its own, carries it from the log into the file. It is on disk before. */
export const withoutCarryOver = <T>(database: Database, work: () => T): T => {
  database.exec('PRAGMA wal_autocheckpoint = 0')
  try {
    return work()
  } finally {
    database.exec(`PRAGMA wal_autocheckpoint = ${pagesCarried}`)
  }
}

export const carryOver = (database: Database): void => { database.exec('PRAGMA wal_checkpoint(PASSIVE)') }

/** Numbered from 1; never edited once shipped, only added to. */
const migrations: readonly string[] = [
  `CREATE TABLE run (
     run TEXT PRIMARY KEY, board TEXT NOT NULL, revision TEXT NOT NULL, sha256 TEXT NOT NULL, serial_number TEXT NOT NULL,
     practice INTEGER NOT NULL, meter TEXT, started_utc TEXT NOT NULL, verdict TEXT, captured INTEGER NOT NULL DEFAULT 0) STRICT;
   CREATE INDEX run_started ON run (started_utc DESC);
   CREATE TABLE event (
     run TEXT NOT NULL REFERENCES run (run), seq INTEGER NOT NULL, body TEXT NOT NULL, PRIMARY KEY (run, seq)) STRICT, WITHOUT ROWID;
   CREATE TABLE board_file (sha256 TEXT PRIMARY KEY, body TEXT NOT NULL, picture TEXT) STRICT;
   CREATE TABLE meter (id TEXT PRIMARY KEY, body TEXT NOT NULL, used_utc TEXT NOT NULL) STRICT;
   CREATE TABLE setting (name TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT;`,
  // Every filter of the list lies in run_newest, so that a list and its count never read a row they do not show.
  `ALTER TABLE board_file ADD COLUMN name TEXT NOT NULL DEFAULT '';
   UPDATE board_file SET name = coalesce(json_extract(body, '$.name'), '');
   DROP INDEX run_started;
   CREATE INDEX run_newest ON run (started_utc DESC, run DESC, board, revision, verdict, practice, serial_number);
   CREATE INDEX run_board ON run (board, revision, started_utc DESC, run DESC, verdict, practice, serial_number);
   CREATE INDEX run_verdict ON run (verdict, started_utc DESC, run DESC, board, revision, practice, serial_number);
   CREATE INDEX run_serial ON run (serial_number, board, started_utc DESC);
   CREATE INDEX run_meter ON run (meter, started_utc);`,
  // The name stands behind the whole body in its row: without an index of its own, naming a run would read the board file.
  `CREATE INDEX board_name ON board_file (sha256, name);
   DROP INDEX run_serial;
   CREATE INDEX run_serial ON run (serial_number, board, practice, started_utc DESC);`,
  // A check is what it was: nothing changes or removes one, whoever asks. A run may have gone on with a meter it did not begin with.
  `CREATE TABLE check_result (id TEXT PRIMARY KEY, meter TEXT NOT NULL, utc TEXT NOT NULL, body TEXT NOT NULL) STRICT;
   CREATE INDEX check_meter ON check_result (meter, utc, id);
   CREATE TRIGGER check_kept BEFORE UPDATE ON check_result BEGIN SELECT RAISE(ABORT, 'a check is never changed'); END;
   CREATE TRIGGER check_stays BEFORE DELETE ON check_result BEGIN SELECT RAISE(ABORT, 'a check is never deleted'); END;
   CREATE INDEX event_meter ON event (json_extract(body, '$.meter.id'), run) WHERE json_extract(body, '$.kind') = 'meter-back';`,
  // A record that was issued stays: the file itself refuses to change or to drop one. One record is replaced by one.
  `CREATE TABLE record (
     sequence INTEGER PRIMARY KEY, number TEXT NOT NULL UNIQUE, chain TEXT NOT NULL, run TEXT NOT NULL REFERENCES run (run), customer TEXT, job TEXT, position INTEGER,
     sha256 TEXT NOT NULL UNIQUE, previous_sha256 TEXT UNIQUE, replaces TEXT UNIQUE REFERENCES record (number), entry TEXT NOT NULL, body TEXT NOT NULL) STRICT;
   CREATE INDEX record_run ON record (run, sequence);
   CREATE INDEX record_job ON record (job, customer, sequence);
   CREATE TRIGGER record_stays BEFORE UPDATE ON record BEGIN SELECT RAISE(ABORT, 'a record is never changed'); END;
   CREATE TRIGGER record_is_kept BEFORE DELETE ON record BEGIN SELECT RAISE(ABORT, 'a record is never deleted'); END;`,
  // How each meter's readings scatter; it can be lost without loss to any run.
  `CREATE TABLE meter_scatter (meter TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT;`,
  // A run that was put aside goes on measuring after a check that was made meanwhile.
  `ALTER TABLE run ADD COLUMN last_value_utc TEXT;
   UPDATE run SET last_value_utc = (SELECT max(json_extract(body, '$.utc')) FROM event WHERE event.run = run.run AND json_extract(body, '$.kind') = 'captured');
   CREATE INDEX run_measured ON run (meter, last_value_utc);`,
  // INSERT OR REPLACE drops the row it replaces without the trigger on DELETE: what is there already is refused before.
  `CREATE TRIGGER check_once BEFORE INSERT ON check_result WHEN EXISTS (SELECT 1 FROM check_result WHERE id = NEW.id)
     BEGIN SELECT RAISE(ABORT, 'a check is never replaced'); END;
   CREATE TRIGGER record_once BEFORE INSERT ON record
     WHEN EXISTS (SELECT 1 FROM record WHERE sequence = NEW.sequence OR number = NEW.number OR sha256 = NEW.sha256 OR previous_sha256 = NEW.previous_sha256 OR replaces = NEW.replaces)
     BEGIN SELECT RAISE(ABORT, 'a record is never replaced'); END;`,
  // The paths of the pictures behind the first, JSON, in the board file's order; null: the board was kept before they were.
  `ALTER TABLE board_file ADD COLUMN other_pictures TEXT;`,
  // What the shop learns of its runs, made from their events and again from them at need. A run is due when it ends, when its end is taken back, and
  // when something is added behind its end.
  `CREATE TABLE to_learn (run TEXT PRIMARY KEY REFERENCES run (run)) STRICT, WITHOUT ROWID;
   INSERT INTO to_learn SELECT run FROM run WHERE verdict IS NOT NULL AND practice = 0;
   CREATE TRIGGER run_to_learn AFTER UPDATE OF verdict ON run WHEN NEW.practice = 0 BEGIN INSERT OR IGNORE INTO to_learn (run) VALUES (NEW.run); END;
   CREATE TRIGGER event_to_learn AFTER INSERT ON event WHEN EXISTS (SELECT 1 FROM run WHERE run = NEW.run AND verdict IS NOT NULL AND practice = 0)
     BEGIN INSERT OR IGNORE INTO to_learn (run) VALUES (NEW.run); END;
   CREATE TABLE learnt_run (run TEXT PRIMARY KEY REFERENCES run (run), board TEXT NOT NULL, revision TEXT NOT NULL, passed INTEGER NOT NULL, minutes REAL NOT NULL, counts TEXT NOT NULL) STRICT, WITHOUT ROWID;
   CREATE TABLE learnt_count (
     board TEXT NOT NULL, revision TEXT NOT NULL, what TEXT NOT NULL, key TEXT NOT NULL, count INTEGER NOT NULL, PRIMARY KEY (board, revision, what, key)) STRICT, WITHOUT ROWID;
   CREATE TABLE learnt_value (
     board TEXT NOT NULL, revision TEXT NOT NULL, step TEXT NOT NULL, utc TEXT NOT NULL, run TEXT NOT NULL, serial_number TEXT NOT NULL, meter TEXT NOT NULL, function TEXT NOT NULL,
     value REAL, u REAL, low REAL, high REAL, verdict TEXT NOT NULL, passed INTEGER NOT NULL, PRIMARY KEY (board, revision, step, utc, run)) STRICT, WITHOUT ROWID;
   CREATE TABLE learnt_step (
     board TEXT NOT NULL, revision TEXT NOT NULL, step TEXT NOT NULL, meter TEXT NOT NULL, function TEXT NOT NULL, count INTEGER NOT NULL, mean REAL NOT NULL, squares REAL NOT NULL,
     low REAL, high REAL, PRIMARY KEY (board, revision, step, meter)) STRICT, WITHOUT ROWID;`,
  `CREATE TABLE job (id TEXT PRIMARY KEY, opened_utc TEXT NOT NULL, body TEXT NOT NULL) STRICT;
   CREATE TABLE job_run (run TEXT PRIMARY KEY REFERENCES run (run), job TEXT NOT NULL REFERENCES job (id), unit TEXT NOT NULL) STRICT, WITHOUT ROWID;
   CREATE INDEX job_runs ON job_run (job, run);
   CREATE INDEX unit_runs ON job_run (unit);`,
  // Runs of one unit follow one another.
  `CREATE INDEX event_follows ON event (json_extract(body, '$.follows.run'), run) WHERE json_extract(body, '$.kind') = 'started';`,
  // How many parts were at fault at once is counted too: what was counted of each run is counted again.
  `INSERT OR IGNORE INTO to_learn SELECT run FROM run WHERE verdict IS NOT NULL AND practice = 0;`,
  // What a later run of a unit finds at fault counts with its first one: runs that follow another are learnt of again.
  `INSERT OR IGNORE INTO to_learn SELECT run FROM run WHERE verdict IS NOT NULL AND practice = 0
     AND run IN (SELECT run FROM event WHERE json_extract(body, '$.kind') = 'started' AND json_extract(body, '$.follows.run') IS NOT NULL);`,
]

const versionOf = (database: Database): number => Number(database.prepare('PRAGMA user_version').get()?.user_version ?? 0)

const migrate = (database: Database, file: string): void => {
  const version = versionOf(database)
  if (version > migrations.length) {
    throw new Error(`${file} was written by a newer Probewright (store version ${version}, this one knows ${migrations.length}). It was left untouched; update the app.`)
  }
  migrations.slice(version).forEach((statements, index) => {
    database.exec(`BEGIN IMMEDIATE; ${statements} PRAGMA user_version = ${version + index + 1}; COMMIT;`)
  })
}

/** By SQLite's own result code: a folder's name stands in the words of an error too. The low byte is the code; the rest says more of it. */
const sqliteBusy = 5
const isInUse = (error: unknown): boolean =>
  typeof error === 'object' && error !== null && 'errcode' in error && typeof error.errcode === 'number' && (error.errcode & 0xff) === sqliteBusy

/** @throws Error in plain words when the folder cannot be used, is in use, or was written by a newer app. */
export const openStoreFile = (folder: string): Database => {
  const file = join(folder, 'probewright.sqlite')
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 })
  } catch (error) {
    throw new Error(`The data folder ${folder} could not be made (${error instanceof Error ? error.message : String(error)}). Choose another with --data.`, { cause: error })
  }
  let database: Database | null = null
  try {
    database = new DatabaseSync(file)
    // Exclusive: the lock is the promise that one program writes this folder; a killed program's lock dies with it.
    database.exec('PRAGMA locking_mode = EXCLUSIVE; PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON;')
    database.exec(`PRAGMA wal_autocheckpoint = ${pagesCarried}`)
    migrate(database, file)
    database.exec('BEGIN EXCLUSIVE; COMMIT;')
    return database
  } catch (error) {
    database?.close()
    const words = error instanceof Error ? error.message : String(error)
    if (isInUse(error)) throw new Error(`The data folder ${folder} is in use by another Probewright. Close it, or choose another folder with --data.`, { cause: error })
    if (/newer Probewright/.test(words)) throw error
    throw new Error(`The data file ${file} could not be opened (${words}). Nothing was changed. Choose another folder with --data, or ask for help with this file.`, { cause: error })
  }
}
