/** What the shop learns, on the real store: kept in step with the runs, made again from their events, and taken back with an end. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import type { RunEvent, RunEventBody } from '../../../src-core/run/event'
import { rebuild } from '../../../src-core/run/state'
import { digestOf } from '../../../src-core/shop/run-digest'
import { openAssets } from '../../../src-main/service/assets'
import { createRunReader } from '../../../src-main/service/run-reader'
import { createShopHistory } from '../../../src-main/service/shop/shop-history'
import { createLearning, type Learning } from '../../../src-main/service/shop/learning'
import { openLearntStore, type LearntStore } from '../../../src-main/service/store/learnt-store'
import { openStoreFile, type Database } from '../../../src-main/service/store/open-store'
import { openRunStore, type RunStore } from '../../../src-main/service/store/run-store'
import { openShopStore } from '../../../src-main/service/store/shop-store'
import type { Meter } from '../../../src-core/meter/instrument'
import { lampDimmer } from '../../bench-tools/walked-board'
import { beginWalk, goodPoints, walkAll, watchIt } from '../../bench-tools/walking'
import { checkedMeter } from '../../core/run/a-run'
import { madeRun, madeRuns, productsMade } from '../../bench-tools/made-runs'

let folder: string
let database: Database
let runs: RunStore
let learnt: LearntStore
let learning: Learning
const faults: unknown[] = []

const begin = (): Learning => {
  const shop = openShopStore(database)
  return createLearning(learnt, { read: createRunReader(runs, shop, () => []).read, lastSeq: runs.lastSeq, follower: runs.follower }, () => undefined, (error) => { faults.push(error) })
}
const open = (): void => {
  database = openStoreFile(folder)
  runs = openRunStore(database)
  learnt = openLearntStore(database)
  const shop = openShopStore(database)
  for (const { board, sha256 } of productsMade) shop.keepBoard(sha256, board, [])
  learning = begin()
}
const close = (): void => {
  learning.close()
  database.close()
}
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'probewright-learnt-'))
  faults.length = 0
  open()
})
afterEach(() => {
  close()
  rmSync(folder, { recursive: true, force: true })
})

const add = (event: RunEvent | undefined, body: RunEventBody): void => {
  if (event === undefined) throw new Error('There is no event.')
  runs.append([{ ...body, v: 1, run: event.run, seq: runs.lastSeq(event.run) + 1, session: event.session, utc: event.utc, at: event.at }])
}
/** Everything learnt, sums to nine digits. */
const everything = (): unknown => productsMade.map(({ board: { id, revision } }) => ({
  counts: learnt.counts(id, revision), values: learnt.values(id, revision, 'r3', null, 1000),
  steps: learnt.steps(id, revision).map(({ running: { count, mean, squares }, ...rest }) => ({ ...rest, count, mean: Number(mean.toPrecision(9)), squares: Number(squares.toPrecision(6)) })).filter(({ count }) => count > 0),
}))

describe('what the shop has learnt', () => {
  it('is what the digests of all runs come to, in any order, and is the same when it is learnt anew', async () => {
    const made = [...madeRuns(40, 3)]
    for (const events of made) runs.append(events)
    await learning.settled()
    expect(faults).toEqual([])
    const digests = made.flatMap((events) => {
      const file = productsMade.find(({ sha256 }) => events[0]?.kind === 'started' && events[0].board.sha256 === sha256)
      return digestOf(rebuild(events), file?.board ?? null) ?? []
    })
    const of = digests.filter(({ board, revision }) => board === 'vent-driver-node' && revision === 'C')
    expect(of.length).toBeGreaterThan(3)
    const passed = learnt.counts('vent-driver-node', 'C').find(({ what, key }) => what === 'verdict' && key === 'pass')
    expect(passed?.count).toBe(of.filter(({ passed: is }) => is).length)
    const r3 = of.flatMap(({ values, passed: is }) => (is ? values : [])).filter(({ step, value }) => step === 'r3' && value !== null).map(({ value }) => value ?? 0)
    const [row] = learnt.steps('vent-driver-node', 'C').filter(({ step }) => step === 'r3')
    expect(row?.running.count).toBe(r3.length)
    expect(row?.running.mean).toBeCloseTo(r3.reduce((sum, x) => sum + x, 0) / r3.length, 8)
    const before = everything()
    learnt.forgetAll()
    expect(learnt.counts('vent-driver-node', 'C')).toEqual([])
    await learning.settled()
    expect(everything()).toEqual(before)
  })

  it('takes a run back whose end is undone, and takes it in again when it ends anew', async () => {
    const made = [...madeRuns(12, 5)]
    for (const events of made.slice(1)) runs.append(events)
    await learning.settled()
    const without = everything()
    const first = made.find((events) => digestOf(rebuild(events), null) !== null && events === made[0]) ?? made[0] ?? []
    runs.append(first)
    await learning.settled()
    const withIt = everything()
    expect(withIt).not.toEqual(without)
    add(first[0], { kind: 'undone', to: first.length - 1 })
    await learning.settled()
    expect(everything()).toEqual(without)
    add(first[0], { kind: 'ended', verdict: 'pass', because: 'Again.' })
    await learning.settled()
    expect(learnt.dueCount()).toBe(0)
    expect(everything()).not.toEqual(without)
  })

  it('learns of what is concluded behind an end, counts it once, and leaves practice out', async () => {
    const events = [...madeRuns(20, 9)].find((one) => one[0]?.kind === 'started' && one[0].practice === undefined && one.at(-1)?.kind === 'ended') ?? []
    const [started] = events
    if (started?.kind !== 'started') throw new Error('There is no such run.')
    runs.append(events)
    await learning.settled()
    add(started, { kind: 'inferred', words: ['D5 is faulty (97 % likely to be faulty). D5 is shorted.'] })
    expect(learnt.dueCount()).toBe(1)
    await learning.settled()
    const counts = learnt.counts(started.board.id, started.board.revision)
    expect(counts.filter(({ what }) => what === 'part')).toEqual([{ what: 'part', key: 'D5', count: 1 }])
    expect(counts.filter(({ what }) => what === 'verdict').reduce((sum, { count }) => sum + count, 0)).toBe(1)
    for (const practice of [...madeRuns(60, 11)].filter((one) => one[0]?.kind === 'started' && one[0].practice !== undefined)) runs.append(practice)
    expect(learnt.dueCount()).toBe(0)
  })

  it('reads a run again to which something was added just before it was taken in', async () => {
    learning.close()
    const events = [...madeRuns(20, 9)].find((one) => one[0]?.kind === 'started' && one[0].practice === undefined && one.at(-1)?.kind === 'ended') ?? []
    const [started] = events
    if (started?.kind !== 'started') throw new Error('There is no such run.')
    const { read } = createRunReader(runs, openShopStore(database), () => [])
    let added = false
    learning = createLearning(learnt, {
      lastSeq: runs.lastSeq, follower: runs.follower,
      read: async (run, turn) => {
        const found = await read(run, turn)
        if (!added) add(started, { kind: 'inferred', words: ['D5 is faulty (97 % likely to be faulty). D5 is shorted.'] })
        added = true
        return found
      },
    }, () => undefined, (error) => { faults.push(error) })
    runs.append(events)
    learning.look()
    await learning.settled()
    expect([faults, learnt.dueCount()]).toEqual([[], 0])
    expect(learnt.counts(started.board.id, started.board.revision).filter(({ what }) => what === 'part')).toEqual([{ what: 'part', key: 'D5', count: 1 }])
  })

  it('tells a run of the boards that failed before it, and neither of itself nor of its unit’s runs before it', async () => {
    learning.close()
    const history = createShopHistory({
      learnt, runs, reader: createRunReader(runs, openShopStore(database), () => []), assets: openAssets(folder), file: () => null, meters: () => [], tolerances: () => null, changed: () => undefined, report: (error) => { faults.push(error) },
    })
    const of = productsMade.find(({ board }) => board.id === 'vent-driver-node' && board.revision === 'C')
    if (of === undefined) throw new Error('There is no such board.')
    const failed = (n: number): RunEvent[] => madeRun({
      of, run: `99999999-0000-4000-8000-00000000000${n}`, session: '99999999-0000-4000-8000-000000000000', startedMs: Date.UTC(2026, 10, n), serialNumber: `VD-${n}`, verdict: 'fail', random: seededRandom(n),
    })
    const [one, two] = [failed(1), failed(2)]
    const run = '99999999-0000-4000-8000-000000000009'
    const behind = one.map((event): RunEvent => (event.kind === 'started' ? { ...event, run, follows: { run: event.run, purpose: 'whole', state: [], repairs: [], coolUtc: null } } : { ...event, run }))
    const told = (events: readonly RunEvent[]): number[] | null => history.faultsFor(rebuild(events))?.byNumber ?? null
    runs.append(one)
    runs.append(behind)
    await history.settled()
    expect([told(one), told(behind), told(two)]).toEqual([null, null, [1]])
    runs.append(two)
    await history.settled()
    expect([told(one), told(behind), told(two)]).toEqual([[1], [1], [1]])
    expect(faults).toEqual([])
    history.close()
  })

  describe('of a unit with several runs', () => {
    const run = (n: number): string => `99999999-0000-4000-8000-00000000000${n}`
    const firstRun = (): RunEvent[] => {
      const of = productsMade.find(({ board }) => board.id === 'vent-driver-node' && board.revision === 'C')
      if (of === undefined) throw new Error('There is no such board.')
      return madeRun({ of, run: run(1), session: run(0), startedMs: Date.UTC(2026, 10, 1), serialNumber: 'VD-1', verdict: 'fail', random: seededRandom(1) })
    }
    const behind = (n: number): RunEvent[] => firstRun().map((event): RunEvent => (event.kind === 'started'
      ? { ...event, run: run(n), follows: { run: run(n - 1), purpose: 'whole', state: [], repairs: [], coolUtc: null } } : { ...event, run: run(n) }))
    const found = (): string[] => learnt.counts('vent-driver-node', 'C').filter(({ what }) => ['part', 'pair', 'number', 'verdict'].includes(what)).map(({ what, key, count }) => `${what} ${key} ${count}`).sort()
    const says = (...refs: string[]): RunEventBody => ({ kind: 'inferred', words: refs.map((ref) => `${ref} is faulty (97 % likely to be faulty). ${ref} is shorted.`) })

    it('counts what a later one finds at fault with the first one, together with what that found', async () => {
      const [first, second, third] = [firstRun(), behind(2), behind(3)]
      runs.append(first)
      add(first[0], says('D5'))
      await learning.settled()
      expect(found()).toEqual(['number 1 1', 'part D5 1', 'verdict fail 1'])
      runs.append(second)
      add(second[0], says('D5', 'R4'))
      runs.append(third)
      add(third[0], says('T1'))
      await learning.settled()
      const all = ['number 3 1', 'pair D5 R4 1', 'pair D5 T1 1', 'pair R4 T1 1', 'part D5 1', 'part R4 1', 'part T1 1', 'verdict fail 1']
      expect([found(), faults, learnt.dueCount()]).toEqual([all, [], 0])
      // An end taken back takes back what it found.
      add(third[0], { kind: 'undone', to: third.length - 1 })
      await learning.settled()
      expect(found()).toEqual(['number 2 1', 'pair D5 R4 1', 'part D5 1', 'part R4 1', 'verdict fail 1'])
      add(third[0], { kind: 'ended', verdict: 'fail', because: 'Again.' })
      add(third[0], says('T1'))
      learnt.forgetAll()
      await learning.settled()
      expect(found()).toEqual(all)
    })

    it('reads the first again where it grew while a later one was learnt of', async () => {
      learning.close()
      const first = firstRun()
      const { read } = createRunReader(runs, openShopStore(database), () => [])
      let armed = false
      learning = createLearning(learnt, {
        lastSeq: runs.lastSeq, follower: runs.follower,
        read: async (one, turn) => {
          const got = await read(one, turn)
          if (armed && one === run(1)) add(first[0], says('R4', 'T1'))
          if (one === run(1)) armed = false
          return got
        },
      }, () => undefined, (error) => { faults.push(error) })
      runs.append(first)
      await learning.settled()
      armed = true
      runs.append(behind(2))
      await learning.settled()
      const now = found()
      expect([now.filter((each) => each.startsWith('part')), armed, learnt.dueCount()]).toEqual([expect.arrayContaining(['part R4 1', 'part T1 1']), false, 0])
      learnt.forgetAll()
      await learning.settled()
      expect(found()).toEqual(now)
    })

    it('keeps what one taught where another of them cannot be read, and says which', async () => {
      const first = firstRun()
      runs.append(first)
      add(first[0], says('D5'))
      runs.append(behind(2))
      runs.append(behind(3))
      add(behind(3)[0], says('T1'))
      database.prepare("UPDATE event SET body = json_set(body, '$.kind', 'of-another-version') WHERE run = ? AND seq = 3").run(run(2))
      learnt.forgetAll()
      await learning.settled()
      expect([found(), learnt.dueCount()]).toEqual([['number 2 1', 'pair D5 T1 1', 'part D5 1', 'part T1 1', 'verdict fail 1'], 0])
      expect(faults.length).toBeGreaterThan(0)
    })
  })

  it('goes on at the next start where it was cut short', async () => {
    const random = seededRandom(2)
    for (const events of madeRuns(15, Math.floor(random() * 100))) runs.append(events)
    const due = learnt.dueCount()
    expect(due).toBeGreaterThan(5)
    const all = learning.settled()
    while (learnt.dueCount() === due) await new Promise((resolve) => { setImmediate(resolve) })
    learning.close()
    await all
    expect(learnt.dueCount()).toBeGreaterThan(0)
    expect(learnt.dueCount()).toBeLessThan(due)
    learning = begin()
    await learning.settled()
    expect(learnt.dueCount()).toBe(0)
    expect(faults).toEqual([])
  })

  it('gives a step’s values in pieces, the latest first', async () => {
    for (const events of madeRuns(40, 3)) runs.append(events)
    await learning.settled()
    const all = learnt.values('vent-driver-node', 'C', 'r3', null, 1000)
    const first = learnt.values('vent-driver-node', 'C', 'r3', null, 2)
    const rest = learnt.values('vent-driver-node', 'C', 'r3', first.at(-1) ?? null, 1000)
    expect([...first, ...rest]).toEqual(all)
    expect(all.map(({ utc }) => utc)).toEqual(all.map(({ utc }) => utc).sort().reverse())
  })
})

describe('the good boards a walk is judged by', () => {
  const board = lampDimmer()
  const source = { function: 'resistance' as const, range: null, volts: 0.5, ohms: 10_000, amperes: null, plus: 'red' as const, basis: 'entered' as const }
  const named = (id: string, ...sources: Meter['register']['sources']): Meter => ({ ...checkedMeter, id, name: `meter ${id}`, register: { ...checkedMeter.register, sources } })
  const limitsWith = (used: Meter, known: Meter[]): (string | undefined)[] | undefined => {
    const shop = openShopStore(database)
    const history = createShopHistory({ learnt, runs, reader: createRunReader(runs, shop, () => []), assets: openAssets(folder), file: () => null, meters: () => known, tolerances: () => null, changed: () => undefined, report: (error) => { faults.push(error) } })
    try { return history.walksOf(board, false, used)?.['walk']?.map(({ says }) => says) } finally { history.close() }
  }
  it('were read with the same meter, or with one whose stated source is alike, and are named with it', async () => {
    openShopStore(database).keepBoard('0'.repeat(64), board, [])
    runs.append(watchIt(walkAll(beginWalk(board), goodPoints)).events())
    learning.look()
    await learning.settled()
    const own = { ...checkedMeter, register: { ...checkedMeter.register, sources: [source] } }
    expect(limitsWith(checkedMeter, [])).toHaveLength(4)
    expect(limitsWith(checkedMeter, [])?.[0]).toBe(`15 % either way of 10 kΩ on one good board. Read with ${checkedMeter.name}.`)
    expect(limitsWith(named('b', { ...source, basis: 'fitted' }), [own])).toHaveLength(4)
    // Another voltage on the tips turns other junctions on; of a meter that states nothing nobody knows what it drives.
    expect(limitsWith(named('c', { ...source, volts: 2.5 }), [own])).toBeUndefined()
    expect(limitsWith(named('d'), [checkedMeter])).toBeUndefined()
    // Of the same name, and yet another one.
    expect(limitsWith({ ...named('e'), name: checkedMeter.name }, [checkedMeter])).toBeUndefined()
  })
})
