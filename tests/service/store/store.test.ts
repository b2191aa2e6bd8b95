import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { root } from '../../bench-tools/running-app'
import { openRunStore } from '../../../src-main/service/store/run-store'
import { openStoreFile } from '../../../src-main/service/store/open-store'
import { play } from '../../core/run/a-run'

let folder: string
beforeEach(() => { folder = mkdtempSync(join(tmpdir(), 'probewright-store-')) })
afterEach(() => { rmSync(folder, { recursive: true, force: true }) })

/** Opens the file as the app does, in a program of its own, so that its lock ends with it; gives what was traced. */
const inAnotherProgram = (statements: string, tracer: string[] = []): string => {
  const script = `
    const { DatabaseSync } = await import('@photostructure/sqlite')
    const database = new DatabaseSync(${JSON.stringify(join(folder, 'probewright.sqlite'))})
    database.exec('PRAGMA locking_mode = EXCLUSIVE; PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL')
    ${statements}
    database.close()`
  const [program = process.execPath, ...before] = [...tracer, process.execPath]
  const ended = spawnSync(program, [...before, '--input-type=module', '-e', script], { encoding: 'utf8', cwd: root })
  if (ended.status !== 0) throw new Error(ended.stderr)
  return ended.stderr
}

const playedRun = () => {
  const bench = play()
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  bench.touch('resistance', 221.4); bench.open('diode')
  return bench
}

describe('the store', () => {
  it('gives back every event as it was, and the run’s verdict', () => {
    const database = openStoreFile(folder)
    const runs = openRunStore(database)
    const { events } = playedRun()
    runs.append(events())
    const [first] = events()
    expect(runs.events(first?.run ?? '')).toEqual(events())
    expect(runs.list(10)).toMatchObject([{ board: 'soil-probe', serialNumber: 'S-1', verdict: 'pass', values: 3, practice: false }])
    database.close()
  })

  it('writes all events of one moment or none', () => {
    const database = openStoreFile(folder)
    const runs = openRunStore(database)
    const events = playedRun().events()
    runs.append(events.slice(0, 3))
    const [, , third, fourth] = events
    if (third === undefined || fourth === undefined) throw new Error('the run is too short')
    expect(() => { runs.append([fourth, third]) }).toThrow()
    expect(runs.events(third.run).map((event) => event.seq)).toEqual([1, 2, 3])
    runs.append(events.slice(3))
    expect(runs.events(third.run)).toHaveLength(events.length)
    database.close()
  })

  it('refuses a file of a newer app and leaves it as it was', () => {
    inAnotherProgram("database.exec('PRAGMA user_version = 99; PRAGMA wal_checkpoint(TRUNCATE)')")
    const file = join(folder, 'probewright.sqlite')
    const before = readFileSync(file)
    expect(() => openStoreFile(folder)).toThrow(/newer Probewright/)
    expect(readFileSync(file).equals(before)).toBe(true)
  })

  it('says in a sentence what is wrong with a file that is no database', () => {
    writeFileSync(join(folder, 'probewright.sqlite'), 'not a database at all, but some text that is long enough to look like one')
    expect(() => openStoreFile(folder)).toThrow(/could not be opened.*Nothing was changed/)
  })

  const straceIsHere = spawnSync('strace', ['-V'], { stdio: 'ignore' }).status === 0
  it.skipIf(!straceIsHere)('syncs the disk for every commit (counted by strace)', () => {
    const commits = 20
    const calls = (count: number): number => {
      const traced = inAnotherProgram(`database.exec('CREATE TABLE IF NOT EXISTS t (k)'); for (let k = 0; k < ${count}; k += 1) { database.exec('BEGIN IMMEDIATE'); database.exec('INSERT INTO t VALUES (1)'); database.exec('COMMIT') }`,
        ['strace', '-f', '-e', 'trace=fsync,fdatasync'])
      return traced.match(/f(data)?sync\(\d+\)\s+= 0/g)?.length ?? 0
    }
    calls(0)
    expect(calls(commits) - calls(0)).toBeGreaterThanOrEqual(commits)
  })
})
