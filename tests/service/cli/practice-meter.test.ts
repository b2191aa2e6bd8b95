import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { SerialPort } from 'serialport'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { WebSocketServer } from 'ws'
import type { BenchView, LiveView } from '../../../src-core/run/view'
import { otherBoard } from '../../../src-main/cli/follow-app'
import { practiceMeterCommand } from '../../../src-main/cli/practice-meter'
import { commandLine } from './surroundings'

const until = async (what: () => boolean, most = 8): Promise<void> => {
  for (let n = 0; n < most * 50 && !what(); n += 1) await wait(20)
  expect(what()).toBe(true)
}

let folder = ''
let pair: ChildProcess
let listener: SerialPort
let heard = ''
const lines = (): string[] => heard.split('\r\n').slice(0, -1)
const [near, far] = [(): string => join(folder, 'meter'), (): string => join(folder, 'app')]

beforeAll(() => { folder = mkdtempSync(join(tmpdir(), 'probewright-cli-')) })
afterAll(() => rmSync(folder, { recursive: true }))
beforeEach(async () => {
  heard = ''
  pair = spawn('socat', [`pty,raw,echo=0,link=${near()}`, `pty,raw,echo=0,link=${far()}`], { stdio: 'ignore' })
  await until(() => existsSync(near()) && existsSync(far()))
  listener = new SerialPort({ path: far(), baudRate: 9600 })
  listener.on('data', (chunk: Buffer) => { heard += chunk.toString('latin1') })
  listener.on('error', () => undefined)
  await new Promise((resolve) => listener.once('open', resolve))
})
afterEach(async () => {
  if (listener.isOpen) await new Promise((resolve) => listener.close(resolve))
  pair.kill()
  await until(() => pair.exitCode !== null || pair.signalCode !== null)
})

describe('practice-meter on a pseudo-terminal', () => {
  it('sends what a meter would, and its leads go where they are told', async () => {
    const line = commandLine()
    const running = practiceMeterCommand(['--port', near(), '--seed', '4', '--fault', 'R4:open'], line)
    line.input.write('resistance J1.2 R3.2\n')
    await until(() => lines().some((one) => /^RES 2[12]\d\.\d Ohm A$/.test(one)))
    line.input.write('resistance J1.1 R4.2\n')
    await until(() => lines().at(-1) === 'RES OL MOhm A')
    line.input.write('known-source\n')
    await until(() => lines().some((one) => /^DCV 1\.5\d\d V A$/.test(one)))
    line.input.write('nonsense\nquit\n')
    expect(await running).toBe(0)
    expect(line.printed).toEqual(['Practice meter "Line meter A" on ' + near() + ', board vent-driver-node revision C, seed 4, fault R4:open.',
      'red on J1.2, black on R3.2, dial at resistance', 'red on J1.1, black on R4.2, dial at resistance',
        'known-source, dial at dc-voltage'])
    expect(line.complaints).toEqual([expect.stringMatching(/^"nonsense" is neither/)])
  })

  it('Enter goes through the preparation and then the sequence', async () => {
    const line = commandLine()
    const running = practiceMeterCommand(['--port', near(), '--seed', '4', '--fault', 'none'], line)
    line.input.write('\n'.repeat(40))
    await until(() => line.printed.length >= 30)
    expect(line.printed.slice(1).some((one) => one.includes('known-diode reversed'))).toBe(true)
    expect(line.printed.some((one) => one === 'R3 series B: red on J1.2, black on R3.2, dial at resistance')).toBe(true)
    line.input.write('quit\n')
    expect(await running).toBe(0)
  })

  it('ends with a sentence when the pair is gone', async () => {
    const line = commandLine()
    const running = practiceMeterCommand(['--port', near(), '--seed', '1'], line)
    await until(() => lines().length > 2)
    pair.kill()
    expect(await running).toBe(1)
    expect(line.complaints[0]).toMatch(/^Port .* is lost: /)
    expect(line.printed[0]).toContain('a hidden fault')
  })

  it('follows an app: asks for its state and plays the technician in the port', async () => {
    const server = new WebSocketServer({ port: 0, host: '127.0.0.1' })
    const asked: string[] = []
    const place = (testPoint: string) => ({ testPoint, x: 0, y: 0, words: testPoint })
    const bench: BenchView = {
      run: 'r', board: { id: 'vent-driver-node', name: 'V', revision: 'C' }, serialNumber: '1', status: 'running', practice: false, byEye: false, record: false,
        picture: null, steps: [],
      keys: [{ key: 'Space', does: 'confirm', action: 'confirm' }], leads: '', proof: '', spoken: [], notes: [], result: null,
      step: {
        id: 'r3', number: 1, of: 1, title: 'R3', kind: 'measure', prompt: [], where: '', caution: null, function: 'resistance',
          red: place('J1.2'), black: place('R3.2'),
        fixture: null, reversed: false, limits: '', scale: null, typed: null,
      },
    }
    const live: LiveView = { reading: null, perSecond: null, mark: null, state: '', tone: 'ask', beads: null, spoken: null, wants: 'touch' }
    server.on('connection', (socket, request) => {
      asked.push(`${request.url} ${request.headers.origin}`)
      socket.on('message', (data) => {
        const { id, command } = JSON.parse(data.toString()) as { id: number; command: string }
        asked.push(command)
        socket.send(JSON.stringify({ event: 'bench', payload: bench }))
        socket.send(JSON.stringify({ event: 'live', payload: live }))
        if (command !== 'hello') socket.send(JSON.stringify({ id, output: {} }))
      })
    })
    await new Promise((resolve) => server.once('listening', resolve))
    const { port } = server.address() as { port: number }
    const line = commandLine()
    const running = practiceMeterCommand(['--port', near(), '--seed', '1', '--fault', 'none', '--follow',
      `http://127.0.0.1:${port}/#secret`], line)
    await until(() => line.complaints.length > 0 || lines().some((one) => /^RES 2[12]\d\.\d Ohm A$/.test(one)))
    expect(line.complaints).toEqual([])
    expect(asked.slice(0, 2)).toEqual([`/contract?token=secret http://127.0.0.1:${port}`, 'hello'])
    for (const socket of server.clients) socket.terminate()
    expect(await running).toBe(0)
    expect(line.complaints).toEqual(['The app is gone.'])
    await new Promise((resolve) => server.close(resolve))
  })
})

describe('a run on another board', () => {
  const own = { id: 'soil-relay', revision: 'A' }
  const board = { id: 'vent-driver-node', name: 'Vent driver node', revision: 'D' }
  it('is refused with the words to type instead', () => {
    expect(otherBoard(own, { board, result: null })).toMatch(/is on board vent-driver-node revision D.* Start it again with --board vent-driver-node --revision D\.$/)
    expect(otherBoard(board, { board, result: null })).toBeNull()
    expect(otherBoard(own, { board: { ...board, id: 'soil-relay' }, result: null })).toContain('--revision D')
  })
})

describe('practice-meter refuses in plain words', () => {
  it.each<[string[], RegExp]>([
    [[], /^practice-meter needs --port/],
    [['--port', '/dev/none', '--board', 'x'],
      /^There is no board "x"\. There is soil-relay revision A, vent-driver-node revision C, vent-driver-node revision D\.$/],
    [['--port', '/dev/none', '--board', 'soil-relay', '--revision', 'Q'], /^There is no board "soil-relay" revision "Q"\. There is soil-relay revision A,/],
    [['--port', '/dev/none', '--revision', 'D', '--fault', 'R3:open'], /Vent driver node has no part R3\./],
    [['--port', '/dev/none', '--fault', 'R99:open'], /Vent driver node has no part R99/],
    [['--port', '/dev/none', '--seed', 'x'], /^--seed must be a whole number, not "x"\.$/],
    [['--port', '/dev/none', '--rate', '900'], /^--rate must be from 1 to 50/],
    [['--port', '/dev/none', '--description', 'My meter'],
      /^There is no meter description "My meter"\. There is "Line meter A", "Line meter B", "Mirror meter D", "Packed meter C", "Polled meter E", "SCPI meter"\.$/],
    [['--port', '/dev/none', '--description', 'Mirror meter D'], /^"Mirror meter D" does not send lines; practice-meter plays meters that do, such as "Line meter A"\.$/],
    [['--port', '/dev/none', '--colour', 'red'], /--colour/],
    [['--port', '/dev/none'], /^There is no port \/dev\/none\./],
  ])('%j', async (args, message) => { await expect(practiceMeterCommand(args, commandLine())).rejects.toThrow(message) })

  it('when nothing answers at the address', async () => {
    await expect(practiceMeterCommand(['--port', near(), '--follow', 'http://127.0.0.1:9/#x'],
      commandLine())).rejects.toThrow(/^No app answers at http:\/\/127\.0\.0\.1:9\. Start it with npm start/)
  })
})
