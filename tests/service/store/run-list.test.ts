/** The list of runs from the store: what fits, newest first, page by page; and a file of the version before keeps everything. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { RunEvent } from '../../../src-core/run/event'
import type { RunEntry, RunFilter } from '../../../src-core/run/run-list'
import { openStoreFile, type Database } from '../../../src-main/service/store/open-store'
import { openRunList, type RunList } from '../../../src-main/service/store/run-list'
import { openRunStore } from '../../../src-main/service/store/run-store'
import { openShopStore } from '../../../src-main/service/store/shop-store'
import { madeRuns, productsMade } from '../../bench-tools/made-runs'
import { root } from '../../bench-tools/running-app'

const seed = 20_260
const count = 300
let folder: string
let database: Database
let list: RunList
let made: RunEvent[][]

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'probewright-list-'))
  database = openStoreFile(folder)
  const shop = openShopStore(database)
  for (const { board, sha256 } of productsMade) shop.keepBoard(sha256, board, [])
  made = [...madeRuns(count, seed)]
  const runs = openRunStore(database)
  runs.append(made.flat())
  list = openRunList(database)
})
afterAll(() => {
  database.close()
  rmSync(folder, { recursive: true, force: true })
})

/** The whole list by going from page to page. */
const paged = async (filter: RunFilter, most: number): Promise<RunEntry[]> => {
  const rows: RunEntry[] = []
  for (let after: Parameters<RunList['page']>[1] = null, turn = 0; turn < 1000; turn += 1) {
    const page = await list.page(filter, after, most)
    rows.push(...page.runs)
    if (page.next === null) return rows
    after = page.next
  }
  throw new Error('the pages do not end')
}

/** The same question answered from the events themselves. */
const expected = (filter: RunFilter): string[] => made.flatMap((events) => {
  const [first] = events
  if (first?.kind !== 'started') throw new Error('a run begins with started')
  const ended = events.at(-1)
  const verdict = ended?.kind === 'ended' ? ended.verdict : 'not-ended'
  const fits = (filter.board === undefined || first.board.id === filter.board) && (filter.revision === undefined || first.board.revision === filter.revision)
    && (filter.serialNumber === undefined || first.serialNumber.toLowerCase().includes(filter.serialNumber.toLowerCase()))
    && (filter.from === undefined || Date.parse(first.utc) >= Date.parse(filter.from)) && (filter.to === undefined || Date.parse(first.utc) < Date.parse(filter.to))
    && (filter.verdict === undefined || verdict === filter.verdict) && (filter.practice === undefined || (first.practice !== undefined) === filter.practice)
  return fits ? [{ run: first.run, utc: first.utc }] : []
}).sort((a, b) => (a.utc === b.utc ? (a.run < b.run ? 1 : -1) : a.utc < b.utc ? 1 : -1)).map(({ run }) => run)

const moment = fc.integer({ min: Date.UTC(2023, 0, 1), max: Date.UTC(2026, 0, 1) }).map((ms) => new Date(ms).toISOString())
const some = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: undefined })
const filters: fc.Arbitrary<RunFilter> = fc.record({
  board: some(fc.constantFrom('vent-driver-node', 'mist-valve-node', 'nowhere')), revision: some(fc.constantFrom('C', 'D')),
  serialNumber: some(fc.constantFrom('vd-', '00', '7', 'practice', '%', '_', '\\', "'")),
  from: some(moment), to: some(moment), verdict: some(fc.constantFrom('pass', 'fail', 'beyond-repair', 'incomplete', 'not-ended')), practice: some(fc.boolean()),
}, { requiredKeys: [] })

describe('the list of runs', () => {
  it('holds every run, newest first, under the name of its board type', async () => {
    const page = await list.page({}, null, 1000)
    expect(page.total).toBe(count)
    expect(page.next).toBeNull()
    expect(page.runs.map(({ run }) => run)).toEqual(expected({}))
    expect(new Set(page.runs.map(({ name }) => name))).toContain('Mist valve node')
  })

  it('with any filter and any size of page: every run that fits once, in order, and their number', async () => {
    await fc.assert(fc.asyncProperty(filters, fc.integer({ min: 1, max: 60 }), async (filter, most) => {
      const right = expected(filter)
      expect((await paged(filter, most)).map(({ run }) => run)).toEqual(right)
      expect((await list.page(filter, null, most)).total).toBe(right.length)
    }), { seed, numRuns: 150 })
  })

  it('a day begins at its midnight and ends before the next: a run of exactly midnight is of the day that begins', async () => {
    const [first] = (await list.page({}, null, 1)).runs
    const at = first?.startedUtc ?? ''
    const next = new Date(Date.parse(at) + 1).toISOString()
    expect((await list.page({ from: at, to: next }, null, 10)).runs.map(({ run }) => run)).toContain(first?.run)
    expect((await list.page({ to: at }, null, 1000)).runs.map(({ run }) => run)).not.toContain(first?.run)
  })

  it('a page goes on behind its last row, though newer runs were added meanwhile', async () => {
    const first = await list.page({}, null, 20)
    const second = (await list.page({}, first.next, 20)).runs.map(({ run }) => run)
    const [newest] = [...madeRuns(1, 5)]
    const later = newest?.map((event) => ({ ...event, utc: new Date(Date.parse(event.utc) + 4 * 365 * 86_400_000).toISOString() })) ?? []
    database.exec('BEGIN')
    database.prepare('INSERT INTO run (run, board, revision, sha256, serial_number, practice, meter, started_utc) VALUES (?, ?, ?, ?, ?, 0, NULL, ?)')
      .run(later[0]?.run ?? '', 'vent-driver-node', 'C', '0'.repeat(64), 'new', later[0]?.utc ?? '')
    expect((await list.page({}, null, 1)).runs[0]?.serialNumber).toBe('new')
    expect((await list.page({}, first.next, 20)).runs.map(({ run }) => run)).toEqual(second)
    database.exec('ROLLBACK')
  })

  it('tells the newest run of a unit and how often it was measured, practice left out', async () => {
    const units = new Map<string, RunEntry[]>()
    for (const run of (await list.page({ practice: false }, null, 1000)).runs) if (run.serialNumber !== '') units.set(`${run.board} ${run.serialNumber}`, [...(units.get(`${run.board} ${run.serialNumber}`) ?? []), run])
    const [again] = [...units.values()].filter((runs) => runs.length > 1)
    if (again?.[0] === undefined) throw new Error('no unit came back')
    expect(list.measuredBefore(again[0].board, again[0].serialNumber)).toEqual({ last: again[0], times: again.length })
    expect(list.measuredBefore('vent-driver-node', 'never seen')).toEqual({ last: null, times: 0 })
  })

  it('offers only runs that have not ended to go on with, the newest first', async () => {
    expect(list.unfinished(100).map(({ run }) => run)).toEqual(expected({ verdict: 'not-ended' }))
    expect(list.boards().map(({ board, revision }) => `${board} ${revision}`).sort()).toEqual([...new Set((await list.page({}, null, 1000)).runs.map(({ board, revision }) => `${board} ${revision}`))].sort())
  })

  it.each([
    ['everything', '', []], ['one board', 'WHERE run.board = ?', ['vent-driver-node']], ['one verdict', 'WHERE run.verdict = ?', ['fail']],
    ['behind a place', 'WHERE run.started_utc <= ? AND (run.started_utc < ? OR run.run < ?)', ['2024-01-01T00:00:00.000Z', '2024-01-01T00:00:00.000Z', 'x']],
  ])('is read along an index and never sorted: %s', (_name, where, values) => {
    const plan = database.prepare(`EXPLAIN QUERY PLAN SELECT run.run FROM run INDEXED BY run_newest ${where} ORDER BY run.started_utc DESC, run.run DESC LIMIT 51`).all(...values).map(({ detail }) => String(detail)).join('; ')
    expect(plan).toMatch(/USING COVERING INDEX run_newest/)
    expect(plan).not.toMatch(/TEMP B-TREE/)
  })
})

describe('with 20,000 runs', () => {
  it('no question holds up the loop: a list lets it turn, and what every run’s start and end asks does not grow with the runs', async () => {
    database.exec('BEGIN')
    try {
      const add = database.prepare('INSERT INTO run (run, board, revision, sha256, serial_number, practice, meter, started_utc) VALUES (?, ?, ?, ?, ?, 0, NULL, ?)')
      for (let n = 0; n < 20_000; n += 1) {
        const { sha256, board } = productsMade[n % productsMade.length] ?? productsMade[0] ?? { sha256: '', board: { id: '', revision: '' } }
        add.run(`made-${n}`, board.id, board.revision, sha256, `XY-${String(n).padStart(6, '0')}`, new Date(Date.UTC(2020, 0, 1) + n * 60_000).toISOString())
      }
      let turns = 0
      let looking = true
      const count = (): void => { turns += 1; if (looking) setImmediate(count) }
      setImmediate(count)
      const { total, runs } = await list.page({ serialNumber: '9', board: 'soil-relay' }, null, 50)
      looking = false
      expect(total).toBeGreaterThan(500)
      expect(runs).toHaveLength(50)
      expect(turns).toBeGreaterThan(1)

      /** The quickest of some, since the machine has other work. */
      const quickest = (ask: () => unknown): number => Math.min(...Array.from({ length: 15 }, () => {
        const began = performance.now()
        ask()
        return performance.now() - began
      }))
      expect(quickest(() => list.latest())).toBeLessThan(1)
      expect(quickest(() => list.boards())).toBeLessThan(1)
      expect(list.boards().map(({ name }) => name)).toEqual([...productsMade.map(({ board }) => board.name)].sort())
      expect(new Set(list.latest().map(({ board }) => board))).toEqual(new Set(productsMade.map(({ board }) => board.id)))
    } finally {
      database.exec('ROLLBACK')
    }
  })
})

describe('a file of store version 1', () => {
  it('is brought up to date with everything in it', async () => {
    const old = mkdtempSync(join(tmpdir(), 'probewright-version-1-'))
    try {
      const [first, second] = [...madeRuns(2, 9)]
      if (first?.[0]?.kind !== 'started' || second?.[0]?.kind !== 'started') throw new Error('two runs are needed')
      const product = productsMade.find(({ sha256 }) => first[0]?.kind === 'started' && sha256 === first[0].board.sha256)
      // The tables as version 1 wrote them, in a program of its own so that its lock ends.
      const script = `
        const { DatabaseSync } = await import('@photostructure/sqlite')
        const d = new DatabaseSync(${JSON.stringify(join(old, 'probewright.sqlite'))})
        d.exec(\`CREATE TABLE run (run TEXT PRIMARY KEY, board TEXT NOT NULL, revision TEXT NOT NULL, sha256 TEXT NOT NULL, serial_number TEXT NOT NULL,
            practice INTEGER NOT NULL, meter TEXT, started_utc TEXT NOT NULL, verdict TEXT, captured INTEGER NOT NULL DEFAULT 0) STRICT;
          CREATE INDEX run_started ON run (started_utc DESC);
          CREATE TABLE event (run TEXT NOT NULL REFERENCES run (run), seq INTEGER NOT NULL, body TEXT NOT NULL, PRIMARY KEY (run, seq)) STRICT, WITHOUT ROWID;
          CREATE TABLE board_file (sha256 TEXT PRIMARY KEY, body TEXT NOT NULL, picture TEXT) STRICT;
          CREATE TABLE meter (id TEXT PRIMARY KEY, body TEXT NOT NULL, used_utc TEXT NOT NULL) STRICT;
          CREATE TABLE setting (name TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT; PRAGMA user_version = 1;\`)
        let input = ''
        for await (const chunk of process.stdin) input += chunk
        const { runs, board } = JSON.parse(input)
        d.prepare('INSERT INTO board_file VALUES (?, ?, NULL)').run(board.sha256, JSON.stringify(board.board))
        for (const events of runs) {
          const [s] = events
          d.prepare('INSERT INTO run VALUES (?, ?, ?, ?, ?, 0, ?, ?, ?, ?)').run(s.run, s.board.id, s.board.revision, s.board.sha256, s.serialNumber, s.meter.id, s.utc, null, events.filter((e) => e.kind === 'captured').length)
          for (const e of events) d.prepare('INSERT INTO event VALUES (?, ?, ?)').run(e.run, e.seq, JSON.stringify(e))
        }
        d.close()`
      const ended = spawnSync(process.execPath, ['--input-type=module', '-e', script], { encoding: 'utf8', cwd: root, input: JSON.stringify({ runs: [first, second], board: product }) })
      expect(ended.stderr).toBe('')
      const now = openStoreFile(old)
      expect(Number(now.prepare('PRAGMA user_version').get()?.user_version)).toBe(14)
      expect(openRunStore(now).find(first[0].run)?.lastValueUtc).toBe(first.findLast(({ kind }) => kind === 'captured')?.utc ?? null)
      expect(openRunStore(now).events(first[0].run)).toEqual(first)
      const { runs, total } = await openRunList(now).page({}, null, 10)
      expect(total).toBe(2)
      expect(runs.find(({ run }) => run === first[0]?.run)).toMatchObject({ name: product?.board.name, serialNumber: first[0].serialNumber, values: first.filter(({ kind }) => kind === 'captured').length })
      now.close()
    } finally {
      rmSync(old, { recursive: true, force: true })
    }
  })
})
