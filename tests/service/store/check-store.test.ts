/** Checks on disk: read back as they were, never changed or deleted, and none in a file of before. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { seconds } from '../../../src-core/quantity/units'
import type { RunEvent, RunEventBody } from '../../../src-core/run/event'
import { usualBenchKit } from '../../../src-core/meter/instrument'
import { openCheckStore } from '../../../src-main/service/store/check-store'
import { openStoreFile, type Database } from '../../../src-main/service/store/open-store'
import { openRunStore } from '../../../src-main/service/store/run-store'
import { madeMeter } from '../../bench-tools/made-runs'
import { checkOf, goodPair } from '../../core/metrology/standards'

let folder: string
let database: Database
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'probewright-checks-'))
  database = openStoreFile(folder)
})
afterEach(() => {
  database.close()
  rmSync(folder, { recursive: true, force: true })
})

describe('checks on disk', () => {
  it('come back as they were, in the order they were made', () => {
    const made = [...goodPair('2026-11-29T08:00:00.000Z'), checkOf('resistor', 'overload', '2026-11-29T10:00:00.000Z')]
    const store = openCheckStore(database)
    for (const check of made) store.add(check)
    expect(openCheckStore(database).of('bench-meter')).toEqual(made)
    expect(openCheckStore(database).of('another')).toEqual([])
  })
  it('are refused a second time, a change and a deletion', () => {
    const [check] = goodPair('2026-11-29T08:00:00.000Z')
    if (check === undefined) throw new Error('no check')
    const store = openCheckStore(database)
    store.add(check)
    expect(() => { store.add(check) }).toThrow()
    expect(() => { database.exec("UPDATE check_result SET body = '{}'") }).toThrow(/never changed/)
    expect(() => { database.exec("INSERT OR REPLACE INTO check_result SELECT id, meter, utc, '{}' FROM check_result") }).toThrow(/never replaced/)
    expect(() => { database.exec('DELETE FROM check_result') }).toThrow(/never deleted/)
    expect(store.of('bench-meter')).toEqual([check])
  })
})

describe('runs of a meter', () => {
  const run = (id: string, meter: typeof madeMeter, after: RunEventBody[]): RunEvent[] => ([{
    kind: 'started', board: { id: 'soil-relay', revision: 'A', sha256: '0'.repeat(64) }, sequence: { id: 'a', version: 1 }, serialNumber: '', meter, kit: usualBenchKit,
    rule: { kind: 'simple-acceptance', r: 0 }, prepare: [],
  }, ...after] satisfies RunEventBody[]).map((body, index) => ({ ...body, v: 1, run: id, seq: index + 1, session: '66666666-7777-4888-9999-aaaaaaaaaaaa', utc: `2026-11-29T0${id[0] ?? '0'}:00:00.000Z`, at: seconds(index) }))

  it('are those begun with it and those that went on with it', () => {
    const runs = openRunStore(database)
    const other = { ...madeMeter, id: 'spare-meter', name: 'Spare meter' }
    runs.append(run('1aaaaaaa-2222-4333-8444-555555555555', madeMeter, []))
    runs.append(run('2aaaaaaa-2222-4333-8444-555555555555', other, []))
    runs.append(run('3aaaaaaa-2222-4333-8444-555555555555', other, [{ kind: 'meter-lost' }, { kind: 'meter-back', same: false, meter: { id: madeMeter.id, name: madeMeter.name } }]))
    expect(runs.startedSince(madeMeter.id, '').map((row) => row.run[0])).toEqual(['1', '3'])
    expect(runs.startedSince(madeMeter.id, '2026-11-29T02:00:00.000Z').map((row) => row.run[0])).toEqual(['3'])
    expect(runs.startedSince(other.id, '').map((row) => row.run[0])).toEqual(['2', '3'])
  })

  it('are those, too, that were begun before and went on measuring', () => {
    const runs = openRunStore(database)
    const touch = (minute: string): RunEvent => ({
      ...run('4aaaaaaa-2222-4333-8444-555555555555', madeMeter, [{
        kind: 'captured', step: 's', touch: 1, function: 'resistance', range: 600, resolution: 0.1, unit: 'Ω', value: 470, median: 470, sd: 0, conversions: 3, seconds: 1, raw: [],
        uncertainty: null, limits: 'short', rule: { kind: 'simple-acceptance', r: 0 }, verdict: 'fail', evidence: 'steady',
      }])[1] as RunEvent, seq: Number(minute), utc: `2026-11-29T06:${minute}:00.000Z`,
    })
    runs.append([...run('4aaaaaaa-2222-4333-8444-555555555555', madeMeter, []), touch('10'), touch('30')])
    runs.append(run('5aaaaaaa-2222-4333-8444-555555555555', madeMeter, []))
    const since = (utc: string): (string | undefined)[] => runs.measuredSince(madeMeter.id, utc).map((row) => row.run[0])
    expect(since('')).toEqual(['4', '5'])
    expect(since('2026-11-29T06:20:00.000Z')).toEqual(['4'])
    expect(since('2026-11-29T06:40:00.000Z')).toEqual([])
    expect(runs.find('4aaaaaaa-2222-4333-8444-555555555555')).toMatchObject({ values: 2, lastValueUtc: '2026-11-29T06:30:00.000Z' })
  })
})
