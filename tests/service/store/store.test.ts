import { spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { root } from '../../bench-tools/running-app'
import { openRunList } from '../../../src-main/service/store/run-list'
import { openRunStore } from '../../../src-main/service/store/run-store'
import { openShopStore } from '../../../src-main/service/store/shop-store'
import { openStoreFile, type Database } from '../../../src-main/service/store/open-store'
import { play } from '../../core/run/a-run'

let folder: string
beforeEach(() => { folder = mkdtempSync(join(tmpdir(), 'probewright-store-')) })
afterEach(() => { rmSync(folder, { recursive: true, force: true }) })

/** Opens the file in a program of its own, so that its lock ends with it. */
const inAnotherProgram = (statements: string, where = folder): void => {
  const script = `
    const { DatabaseSync } = await import('@photostructure/sqlite')
    const database = new DatabaseSync(${JSON.stringify(join(where, 'probewright.sqlite'))})
    database.exec('PRAGMA journal_mode = WAL')
    ${statements}
    database.close()`
  const ended = spawnSync(process.execPath, ['--input-type=module', '-e', script], { encoding: 'utf8', cwd: root })
  if (ended.status !== 0) throw new Error(ended.stderr)
}

/** Writes more than a full disk takes, as the meters do that a moment taught something. */
const fill = (database: Database) => (): void => {
  const write = database.prepare('INSERT INTO setting (name, body) VALUES (?, ?)')
  for (let k = 0; k < 64; k += 1) write.run(`ballast ${k}`, 'x'.repeat(64 * 1024))
}

const playedRun = () => {
  const bench = play()
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  bench.touch('resistance', 221.4); bench.open('diode')
  return bench
}

describe('the store', () => {
  it('gives back every event as it was, and the run’s verdict', async () => {
    const database = openStoreFile(folder)
    const runs = openRunStore(database)
    const { events } = playedRun()
    runs.append(events())
    const [first] = events()
    expect(runs.events(first?.run ?? '')).toEqual(events())
    expect((await openRunList(database).page({}, null, 10)).runs).toMatchObject([{ board: 'soil-probe', serialNumber: 'S-1', verdict: 'pass', values: 3, practice: false }])
    database.close()
  })

  it('keeps what is known of a meter’s scatter with the events that taught it, or not at all', () => {
    const database = openStoreFile(folder)
    const [runs, shop] = [openRunStore(database), openShopStore(database)]
    const bench = playedRun()
    const known = bench.bench().context.scatter ?? []
    expect(known.length).toBeGreaterThan(0)
    expect(shop.scatter('bench-meter')).toEqual([])
    const events = bench.events()
    expect(() => { runs.append(events.slice(1), () => { shop.keepScatter('bench-meter', known) }) }).toThrow()
    expect(shop.scatter('bench-meter')).toEqual([])
    runs.append(events, () => { shop.keepScatter('bench-meter', known) })
    expect(shop.scatter('bench-meter')).toEqual(known)
    expect(shop.scatter('another')).toEqual([])
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

  it('says that a full disk is full, writes nothing of that moment, and goes on when there is room (pages of the file capped)', () => {
    const database = openStoreFile(folder)
    const runs = openRunStore(database)
    const events = playedRun().events()
    const [first] = events
    runs.append(events.slice(0, 1))
    // SQLite rolls the whole transaction back by itself here: a ROLLBACK after it would fail.
    database.exec(`PRAGMA max_page_count = ${Number(database.prepare('PRAGMA page_count').get()?.page_count)}`)
    expect(() => { runs.append(events.slice(1), fill(database)) }).toThrow(/database or disk is full/)
    expect(runs.events(first?.run ?? '')).toHaveLength(1)
    database.exec('PRAGMA max_page_count = 100000')
    runs.append(events.slice(1))
    expect(runs.events(first?.run ?? '')).toEqual(events)
    database.close()
  })

  it('says so of a disk that is really full', (context) => {
    if (spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=1m', 'tmpfs', folder]).status !== 0) context.skip('no small disk can be mounted by this account')
    try {
      const database = openStoreFile(folder)
      const runs = openRunStore(database)
      const events = playedRun().events()
      runs.append(events.slice(0, 1))
      expect(() => { runs.append(events.slice(1), fill(database)) }).toThrow(/database or disk is full/)
      runs.append(events.slice(1))
      expect(runs.events(events[0]?.run ?? '')).toEqual(events)
      database.close()
    } finally {
      spawnSync('umount', ['-l', folder])
    }
  })

  it.each(['busy', 'locked'])('does not take a folder named %s for one in use', (name) => {
    const named = join(folder, name)
    mkdirSync(join(named, 'probewright.sqlite'), { recursive: true })
    expect(() => openStoreFile(named)).toThrow(/could not be opened/)
    rmSync(join(named, 'probewright.sqlite'), { recursive: true })
    inAnotherProgram("database.exec('PRAGMA user_version = 99; PRAGMA wal_checkpoint(TRUNCATE)')", named)
    expect(() => openStoreFile(named)).toThrow(/newer Probewright/)
  })

  it('knows a folder that another program holds, whatever its name', () => {
    const database = openStoreFile(folder)
    const script = `
      const { DatabaseSync } = await import('@photostructure/sqlite')
      try { new DatabaseSync(${JSON.stringify(join(folder, 'probewright.sqlite'))}).exec('PRAGMA journal_mode = WAL') } catch (error) { console.log(error.errcode) }`
    expect(spawnSync(process.execPath, ['--input-type=module', '-e', script], { encoding: 'utf8', cwd: root }).stdout.trim()).toBe('5')
    expect(() => openStoreFile(folder)).toThrow(/in use by another Probewright/)
    database.close()
  })
})
