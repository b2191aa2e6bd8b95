/** Bad input gets a message that names file and field; the app stays up and nothing is lost. */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openClient, type ContractClient } from '../bench-tools/contract-client'
import { openPtyPair, socatIsHere, type PtyPair } from '../bench-tools/pty-pair'
import { root, startApp, type RunningApp } from '../bench-tools/running-app'

let dataFolder: string
let app: RunningApp
let client: ContractClient

const put = (path: string, text: string): void => {
  const file = join(dataFolder, path)
  mkdirSync(join(file, '..'), { recursive: true })
  writeFileSync(file, text)
}
const board = (change: (json: { testPoints: { net: string }[]; [key: string]: unknown }) => void): string => {
  const json = JSON.parse(readFileSync(join(root, 'fixtures/boards/vent-driver-node/board.json'), 'utf8')) as { testPoints: { net: string }[] }
  change(json)
  return JSON.stringify(json)
}

beforeAll(async () => {
  dataFolder = mkdtempSync(join(tmpdir(), 'probewright-bad-'))
  put('boards/broken/board.json', '{ "schema": ')
  put('boards/unknown-net/board.json', board((json) => { const [first] = json.testPoints; if (first !== undefined) first.net = 'NOWHERE'; json.revision = 'X' }))
  put('meters/broken.json', '[]')
  put('meters/slow.json', readFileSync(join(root, 'fixtures/meters/line-meter-a.json'), 'utf8').replace('"Line meter A"', '"Slow"').replace(/"pattern": ".*?",\n/, '"pattern": "^(?<function>(\\\\w+)+) (?<value>[\\\\d.]+)(?<unit>V)$",\n'))
  app = await startApp([], dataFolder)
  client = await openClient(app.address)
})
afterAll(async () => {
  client.close()
  await app.close()
  rmSync(dataFolder, { recursive: true, force: true })
})

const messageFor = (problems: readonly { file: string; message: string }[], path: string): string =>
  problems.filter((problem) => problem.file.endsWith(path)).map((problem) => problem.message).join(' | ')

describe('bad files', () => {
  it('are listed with file and field, and hurt no other', async () => {
    const { library } = await client.ask('hello', {})
    expect(messageFor(library.problems, 'boards/broken/board.json')).toMatch(/not JSON/)
    expect(messageFor(library.problems, 'boards/unknown-net/board.json')).toMatch(/testPoints\[0\]\.net.*NOWHERE/)
    expect(messageFor(library.problems, 'meters/broken.json')).not.toBe('')
    expect(messageFor(library.problems, 'meters/slow.json')).toMatch(/pattern/)
    expect(library.boards.map((each) => each.id)).toContain('vent-driver-node')
    expect(library.descriptions.map((each) => each.name)).toEqual(['Line meter A', 'Line meter B', 'Mirror meter D', 'Packed meter C', 'Polled meter E', 'SCPI meter'])
  })

  it('a file put right is read again while the app runs', async () => {
    put('boards/unknown-net/board.json', board((json) => { json.revision = 'X' }))
    writeFileSync(join(dataFolder, 'boards/unknown-net/top.svg'), readFileSync(join(root, 'fixtures/boards/vent-driver-node/top.svg')))
    const library = await client.until('library', (each) => each.boards.some((own) => own.revision === 'X'), 10_000)
    expect(messageFor(library.problems, 'boards/unknown-net/board.json')).toBe('')
    expect(library.boards.find((each) => each.revision === 'X')?.picture).toMatch(/^\/pictures\//)
  })
})

describe.skipIf(!socatIsHere)('a serial stream that makes no sense', () => {
  let pair: PtyPair
  beforeAll(async () => { pair = await openPtyPair() })
  afterAll(() => pair.close())

  it('is counted, gives no reading, and the next good line is read', async () => {
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A' })
    pair.write(Buffer.from(Array.from({ length: 5000 }, (_, k) => (k * 7919) % 256)))
    pair.write('\r\nRES 22x.4 Ohm A\r\nRES OL V\r\n\r\nVOLTS 1 V\r\n')
    pair.write('RES 221.4 Ohm A\r\n')
    await client.until('live', (live) => live.reading?.figure === '221.4')
    const { link } = await client.ask('hello', {})
    expect(link.readings).toBe(1)
    expect(link.rejects).toBeGreaterThanOrEqual(4)
    expect(app.process.exitCode).toBeNull()
    expect(app.errors()).toBe('')
  })

  it('a silent meter is said to be silent, and comes back', async () => {
    await client.until('link', (link) => link.status === 'silent', 6000)
    pair.write('RES 221.5 Ohm A\r\n')
    await client.until('link', (link) => link.status === 'open')
  })

  it('an unknown path and a path that is no port are refused in words', async () => {
    await expect(client.ask('connect', { path: '/dev/none', description: 'Line meter A' })).rejects.toThrow(/There is no port \/dev\/none/)
    await expect(client.ask('connect', { path: join(root, 'package.json'), description: 'Line meter A' })).rejects.toThrow(/not a serial port/)
    await expect(client.ask('connect', { path: pair.appEnd, description: 'No such' })).rejects.toThrow(/no meter description “No such”/)
  })
})
