/** What leaves the app: tables, events and readings files, through the service as a screen asks for them. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import { readingsFile } from '../../src-core/circuit/readings-file'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import { commands, type CommandInput, type CommandName, type CommandOutput } from '../../src-core/contract'
import { parseRunEvent, type RunEvent } from '../../src-core/run/event'
import { rebuild } from '../../src-core/run/state'
import { safeText, tableColumns } from '../../src-core/run/value-table'
import { openAssets, type Assets } from '../../src-main/service/assets'
import { csvText } from '../../src-main/service/csv'
import { createDownloads } from '../../src-main/service/downloads'
import { createExporting, type Progress } from '../../src-main/service/exporting'
import { createRecords } from '../../src-main/service/records'
import { Refusal } from '../../src-main/service/dispatcher'
import { openCheckStore } from '../../src-main/service/store/check-store'
import { openStoreFile, type Database } from '../../src-main/service/store/open-store'
import { openRunList } from '../../src-main/service/store/run-list'
import { openRunStore } from '../../src-main/service/store/run-store'
import { createTurns } from '../../src-main/service/turns'
import { openShopStore } from '../../src-main/service/store/shop-store'
import { madeRun, productsMade } from '../bench-tools/made-runs'
import { root } from '../bench-tools/running-app'

/** Everything a careless hand or a scanner can put into a serial number or a note. */
const nastySerial = '=VD "04",17; übergröße\r\n+1'
const nastyNote = '-2 steps: "R4, R5"\nsecond line, Ω and 漢字'
const ids = ['11111111-1111-4111-8111-111111111111', '22222222-2222-4222-8222-222222222222'] as const

let folder: string
let database: Database
let assets: Assets
let stored: RunEvent[][]
let handlers: ReturnType<typeof createRecords>

const ask = async <N extends CommandName & keyof typeof handlers>(name: N, input: CommandInput<N>): Promise<CommandOutput<N>> =>
  commands[name].output.parse(await (handlers[name] as (input: CommandInput<N>) => unknown)(input)) as CommandOutput<N>

const exported = async (runs: readonly string[], as: 'csv' | 'json' | 'readings'): Promise<{ text: string; name: string; path: string }> => {
  const { path, name } = await ask('export-run', { runs: [...runs], as })
  const file = assets.download(path)
  if (file === null) throw new Error(`nothing lies under ${path}`)
  return { text: file.bytes.toString('utf8'), name, path }
}

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'probewright-records-'))
  database = openStoreFile(folder)
  const shop = openShopStore(database)
  const [product] = productsMade
  if (product === undefined) throw new Error('there is no product')
  shop.keepBoard(product.sha256, product.board, [])
  const random = seededRandom(4)
  const make = (run: string, serialNumber: string, verdict: 'pass' | 'incomplete', startedMs: number): RunEvent[] =>
    madeRun({ of: product, run, session: '33333333-3333-4333-8333-333333333333', startedMs, serialNumber, verdict, random })
  const [one, two] = [make(ids[0], nastySerial, 'incomplete', Date.UTC(2026, 2, 14, 8)), make(ids[1], 'VD-000018', 'pass', Date.UTC(2026, 2, 15, 8))]
  const at = one.findIndex((event) => event.kind === 'captured')
  const captured = one[at]
  if (captured?.kind !== 'captured') throw new Error('nothing was captured')
  const { v, run, session, utc, at: seconds, step } = captured
  const note: RunEvent = { v, run, seq: at + 1, session, utc, at: seconds, kind: 'noted', step, text: nastyNote }
  const noted = [...one.slice(0, at), note, ...one.slice(at)].map((event, index) => (event.kind === 'decided' ? { ...event, seq: index + 1, from: [index] } : { ...event, seq: index + 1 }))
  stored = [noted, two]
  const runs = openRunStore(database)
  for (const events of stored) runs.append(events)
  assets = openAssets(join(root, 'fixtures'))
  handlers = createRecords({ runs, list: openRunList(database), checks: openCheckStore(database), shop, assets, boards: () => [], ways: { known: () => 'sought', find: () => Promise.resolve('failed') }, progress: () => undefined })
})
afterAll(() => {
  database.close()
  rmSync(folder, { recursive: true, force: true })
})

/** Python's csv module, strict, as the reader of RFC 4180 that is not ours; python3 is part of Debian. */
const readByPython = (text: string): string[][] => {
  const script = 'import csv,io,json,sys; text=sys.stdin.buffer.read().decode("utf-8"); print(json.dumps(list(csv.reader(io.StringIO(text, newline=""), strict=True))))'
  const ended = spawnSync('python3', ['-c', script], { input: text, encoding: 'utf8', maxBuffer: 64 * 1024 * 1024 })
  if (ended.status !== 0) throw new Error(ended.stderr)
  return JSON.parse(ended.stdout) as string[][]
}
const pythonIsHere = spawnSync('python3', ['--version']).status === 0

/** Files that leave the app carry 12 significant digits. */
const rounded = <Value>(value: Value): Value | number => (typeof value === 'number' ? Number(value.toPrecision(12)) : value)

describe('the table', () => {
  it.skipIf(!pythonIsHere)('of several runs is read back by another program as it was, whatever was typed into it (RFC 4180)', async () => {
    const { text, name } = await exported(ids, 'csv')
    expect(name).toBe('probewright_2-runs_20260314-0800Z.csv')
    const [header, ...rows] = readByPython(text)
    expect(header).toEqual([...tableColumns])
    const column = (row: string[] | undefined, which: (typeof tableColumns)[number]): string => row?.[tableColumns.indexOf(which)] ?? ''
    expect(rows.every((row) => row.length === tableColumns.length)).toBe(true)
    const first = rows.filter((row) => column(row, 'run') === ids[0])
    expect(new Set(first.map((row) => column(row, 'serial_number')))).toEqual(new Set([`'=VD "04",17; übergröße\r\n'+1`]))
    expect(first.map((row) => column(row, 'notes')).filter((each) => each !== '')).toEqual([`'${nastyNote}`])
    expect(first.map((row) => column(row, 'skip_reason')).filter((each) => each !== '')).toEqual(['no access with the cover on'])
    // Every number comes back as the number that was recorded, to 12 significant digits, negative ones and small ones too.
    const captured = stored.flat().flatMap((event) => (event.kind === 'captured' ? [event] : []))
    const valued = rows.filter((row) => column(row, 'value') !== '')
    expect(valued.map((row) => (column(row, 'value') === 'overload' ? 'overload' : Number(column(row, 'value'))))).toEqual(captured.map(({ value }) => rounded(value)))
    expect(valued.map((row) => (column(row, 'U') === '' ? null : Number(column(row, 'U'))))).toEqual(captured.map(({ uncertainty }) => rounded(uncertainty?.U ?? null)))
  })

  it.skipIf(!pythonIsHere)('any text and any number survive the way through a file', () => {
    const rows = [['plain', -0.0031, null], ['a "quoted" one', 4.7e-9, 'x\ny'], ['lone\rreturn', 1e21, ','], ['', 0, '\r\n']]
    expect(readByPython(csvText(rows))).toEqual([['plain', '-0.0031', ''], ['a "quoted" one', '4.7e-9', 'x\ny'], ['lone\rreturn', '1e+21', ','], ['', '0', '\r\n']])
  })

  it.skipIf(!pythonIsHere)('has every text in quotes and every number plain, so that a reader told which is which gets both (QUOTE_NONNUMERIC of that module)', async () => {
    const { text } = await exported(ids, 'csv')
    const script = 'import csv,io,json,sys; text=sys.stdin.buffer.read().decode("utf-8"); print(json.dumps(list(csv.reader(io.StringIO(text.replace(",,", \',"",\').replace(",,", \',"",\').replace(",\\r\\n", \',""\\r\\n\'), newline=""), strict=True, quoting=csv.QUOTE_NONNUMERIC))))'
    const ended = spawnSync('python3', ['-c', script], { input: text, encoding: 'utf8' })
    expect(ended.stderr).toBe('')
    const [, ...rows] = JSON.parse(ended.stdout) as (string | number)[][]
    const at = (which: (typeof tableColumns)[number]): number => tableColumns.indexOf(which)
    const numbers = ['sequence_version', 'touch', 'conversions', 'seconds'] as const
    for (const row of rows.filter((each) => each[at('value')] !== '')) {
      for (const which of numbers) expect(typeof row[at(which)]).toBe('number')
      for (const which of ['run', 'serial_number', 'unit', 'measured_utc'] as const) expect(typeof row[at(which)]).toBe('string')
    }
    expect(rows.length).toBeGreaterThan(20)
  })

  it.skipIf(!pythonIsHere)('begins no cell with a formula, also where a program splits at semicolons, tabs or line breaks', () => {
    const typed = ['=1+1', '|calc', ' +2', 'a;=1+1', 'a;\t@x', 'a\t-1', 'a\r\n|b', 'x; "=2"', '\uff1d1', 'plain; text', '4 - 2', 'R4|R5', 'a;b;c']
    const safe = typed.map(safeText)
    const [cells] = readByPython(csvText([safe]))
    expect(cells).toEqual(safe)
    const pieces = safe.flatMap((cell) => cell.split(/[;\t\r\n]/)).map((piece) => piece.replace(/^[\s"]+/, ''))
    expect(pieces.filter((piece) => /^[=+\-@|\uff1d]/.test(piece))).toEqual([])
    expect(safe.slice(-4)).toEqual(typed.slice(-4))
    expect(csvText([[-5.1e-9, null, 'x', 3]])).toBe('-5.1e-9,,"x",3\r\n')
  })

  it('ends every record with CR LF and begins without a byte order mark', async () => {
    const { text } = await exported([ids[1]], 'csv')
    expect(text.startsWith('"run","board","board_name",')).toBe(true)
    expect(text.endsWith('\r\n')).toBe(true)
    // The second run has no line break in a field: each LF there ends a record.
    expect(text.match(/(?<!\r)\n/g)).toBeNull()
  })
})

describe('the events', () => {
  it('of one run, read again, give the same run', async () => {
    const { text, name } = await exported([ids[0]], 'json')
    expect(name).toMatch(/^probewright_vent-driver-node_C_.*\.json$/)
    const events = (JSON.parse(text) as unknown[]).map(parseRunEvent)
    expect(events).toEqual(stored[0])
    expect(rebuild(events)).toEqual(rebuild(stored[0] ?? []))
    expect(events.every(({ v }) => v === 1)).toBe(true)
  })

  it('are written as they lie in the store, to the letter', async () => {
    const { text } = await exported(ids, 'json')
    const bodies = ids.flatMap((run) => openRunStore(database).bodies(run))
    expect(text).toBe(`[\n${bodies.join(',\n')}\n]\n`)
  })
})

describe('the readings file', () => {
  it('is a file of its schema, with the values of the run that stand', async () => {
    const { text, name } = await exported([ids[1]], 'readings')
    expect(name).toBe('probewright_vent-driver-node_C_VD-000018_20260315-0800Z.readings.json')
    const file = readingsFile.parse(JSON.parse(text))
    const measured = stored[1]?.flatMap((event) => (event.kind === 'captured' ? [rounded(event.value)] : []))
    expect(file.readings.map(({ value }) => value)).toEqual(measured)
    expect(file.board).toEqual({ id: 'vent-driver-node', revision: 'C' })
  })

  it('of two runs is refused in a sentence', async () => {
    await expect(exported(ids, 'readings')).rejects.toThrow('A readings file is of one board: choose one run.')
  })
})

describe('an exported file', () => {
  it('is handed out once, and under no other path', async () => {
    const { path } = await ask('export-run', { runs: [ids[1]], as: 'csv' })
    expect(path).toMatch(/^\/exports\/[A-Za-z0-9_-]{32}\/probewright_[\w-]+\.csv$/)
    expect(assets.download(path.replace('/exports/', '/exports/x'))).toBeNull()
    expect(assets.download(path)).not.toBeNull()
    expect(assets.download(path)).toBeNull()
  })

  it('of a run that is not there is refused in a sentence', async () => {
    await expect(ask('export-run', { runs: ['44444444-4444-4444-8444-444444444444'], as: 'json' })).rejects.toThrow(Refusal)
    await expect(async () => ask('read-run', { run: '44444444-4444-4444-8444-444444444444' })).rejects.toThrow('That run is not in this data folder.')
  })
})

describe('an export that takes its time', () => {
  const slowly = async function* (count: number, text = 'x'): AsyncGenerator<string> {
    for (let n = 0; n < count; n += 1) {
      await new Promise((resolve) => { setTimeout(resolve, 40) })
      yield text
    }
  }

  it('tells how far it is after a second, and that it is over', async () => {
    const told: (Progress | null)[] = []
    const bytes = await createExporting((progress) => { told.push(progress) }).make(40, slowly(40), createTurns())
    expect(bytes.toString()).toBe('x'.repeat(40))
    expect(told.length).toBeGreaterThan(1)
    expect(told[0]?.done).toBeGreaterThan(10)
    expect(told.slice(0, -1).every((each) => each?.of === 40 && each.done < 40)).toBe(true)
    expect(told.at(-1)).toBeNull()
  })

  it('is stopped on demand, and the next one can be made', async () => {
    const exporting = createExporting(() => undefined)
    const made = exporting.make(1000, slowly(1000), createTurns())
    await expect(exporting.make(1, slowly(1), createTurns())).rejects.toThrow('Another export is being made.')
    exporting.stop()
    await expect(made).rejects.toThrow('The export was stopped. Nothing was exported.')
    expect((await exporting.make(1, slowly(1), createTurns())).toString()).toBe('x')
  })

  it('larger than may be held is refused before all of it was made, and what is held has a limit in bytes', async () => {
    let given = 0
    const endless = async function* (): AsyncGenerator<string> {
      for (;;) {
        given += 1
        yield 'x'.repeat(1000)
      }
    }
    await expect(createExporting(() => undefined, 10_000).make(500, endless(), createTurns())).rejects.toThrow(/^This export would be larger than .* MB\. Nothing was exported; choose fewer runs\.$/)
    expect(given).toBe(11)
    const downloads = createDownloads(1000)
    const file = { name: 'a.csv', type: 'text/csv', bytes: Buffer.alloc(600) }
    const path = downloads.offer(file) ?? ''
    expect(downloads.offer(file)).toBeNull()
    expect(downloads.take(path)).toBe(file)
    expect(downloads.offer(file)).not.toBeNull()
  })

  it('lets the loop turn between its pieces', async () => {
    const parse = vi.spyOn(JSON, 'parse')
    let [seen, most] = [0, 0]
    const beat = setInterval(() => {
      most = Math.max(most, parse.mock.calls.length - seen)
      seen = parse.mock.calls.length
    }, 0)
    const runs = openRunStore(database)
    const many = Array.from({ length: 30 }, (_, n) => `55555555-5555-4555-8555-${String(n).padStart(12, '0')}`)
    for (const run of many) runs.append((stored[1] ?? []).map((event) => ({ ...event, run })))
    parse.mockClear()
    await exported(many, 'csv')
    clearInterval(beat)
    const all = parse.mock.calls.length
    parse.mockRestore()
    expect(all).toBeGreaterThan(900)
    expect(most).toBeLessThan(all / 5)
  })
})

describe('one run and two', () => {
  it('are read and compared as the screens ask for them, frames one value at a time', async () => {
    const detail = await ask('read-run', { run: ids[0] })
    expect(detail.head.serialNumber).toBe(nastySerial)
    const value = detail.steps.flatMap(({ values }) => values)[0]
    const { frames } = await ask('read-frames', { run: ids[0], seq: value?.seq ?? 0 })
    expect(frames).toHaveLength(value?.frames ?? -1)
    expect(frames[0]?.text).toMatch(/^RES /)
    await expect(async () => ask('read-frames', { run: ids[0], seq: 1 })).rejects.toThrow('holds no measured value')
    const both = await ask('compare-runs', { first: ids[0], second: ids[1] })
    expect(both.steps.length).toBeGreaterThan(5)
    expect(both.notComparable).toEqual([])
  })
})
