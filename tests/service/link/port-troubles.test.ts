/** What can be wrong with a port: each its own plain message, over real pseudo-terminals. */
import { spawn } from 'node:child_process'
import { chmodSync, chownSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { meterDescription } from '../../../src-core/meter/description'
import { openClient } from '../../bench-tools/contract-client'
import { hearLink, type HeardLink } from '../../bench-tools/heard-link'
import { openPtyPair, socatIsHere, type PtyPair } from '../../bench-tools/pty-pair'
import { root } from '../../bench-tools/running-app'
import { shippedDescription } from '../practice/shipped'

const description = shippedDescription('line-meter-a.json')
const within = { timeout: 20_000, interval: 20 }
const isRoot = process.getuid?.() === 0

/** Bytes as a receiver at the wrong speed makes of them: no two alike, and no line among them (fixed figures, so that a failure comes again). */
const garbled = (turn: number): Buffer => Buffer.from(Array.from({ length: 12 }, (_, index) => 0x80 | ((turn * 37 + index * 91) & 0x7f)))

describe.skipIf(!socatIsHere)('a port', () => {
  let pair: PtyPair
  let heard: HeardLink
  let sending: NodeJS.Timeout | undefined
  const send = (what: (turn: number) => string | Uint8Array): void => {
    clearInterval(sending)
    let turn = 0
    sending = setInterval(() => { pair.write(what(turn += 1)) }, 100)
  }
  beforeEach(async () => {
    pair = await openPtyPair()
    heard = hearLink()
  })
  afterEach(async () => {
    clearInterval(sending)
    await heard.close()
    await pair.close()
  })

  it('over which bytes come that make no sense names the speed it is set to, and what to do', async () => {
    const slow = { ...description, port: { ...description.port, baud: 2400, dataBits: 7 as const, parity: 'even' as const } }
    await heard.connect(pair.appEnd, slow)
    send(garbled)
    await expect.poll(() => heard.link.view(), within).toMatchObject({
      status: 'silent', readings: 0,
      message: 'Bytes arrive, but they make no sense at 2400 baud, 7 data bits, even parity, 1 stop bit. Check the speed set on the meter and the description chosen here, or disconnect and let the app recognise the meter.',
    })
    expect(heard.link.view().rejects).toBeGreaterThan(0)
    expect(heard.lost).toBe(0)
    send(() => 'RES 221.4 Ohm A\r\n')
    await expect.poll(() => heard.link.view(), within).toMatchObject({ status: 'open', message: null })
  })

  it('says of a polled meter, too, that its bytes make no sense rather than that it is silent', async () => {
    const polled = meterDescription.parse({ ...description, framing: { ...description.framing, poll: { send: '3f', everySeconds: 0.1, timeoutSeconds: 1.6, retries: 1 } } })
    await heard.connect(pair.appEnd, polled)
    send(garbled)
    await expect.poll(() => heard.link.view().message, within).toMatch(/^Bytes arrive, but they make no sense at 9600 baud, 8 data bits, no parity, 1 stop bit\./)
  })

  it('says in mid-run that the cable seems to hang on another kind of meter; the run waits for the right one', async () => {
    await heard.connect(pair.appEnd, description)
    send(() => 'RES 221.4 Ohm A\r\n')
    await expect.poll(() => heard.readings.length, within).toBeGreaterThan(3)
    send(() => '+1.2345;k;O;RO;a-----\r')
    await expect.poll(() => heard.link.view(), within).toMatchObject({
      status: 'lost', message: expect.stringMatching(/^What arrives now is not what “Line meter A” sends: the cable seems to hang on another kind of meter/) as string,
    })
    expect([heard.lost, heard.back]).toEqual([1, 0])
    const { length } = heard.readings
    send(() => 'RES 221.4 Ohm A\r\n')
    await expect.poll(() => heard.link.view(), within).toMatchObject({ status: 'open', message: null })
    expect(heard.readings.length).toBeGreaterThanOrEqual(length)
    expect([heard.lost, heard.back]).toEqual([1, 1])
  })

  it('says that a meter switched off in mid-run has stopped sending, and goes on when it sends again', async () => {
    await heard.connect(pair.appEnd, description)
    send(() => 'RES 221.4 Ohm A\r\n')
    await expect.poll(() => heard.readings.length, within).toBeGreaterThan(3)
    clearInterval(sending)
    await expect.poll(() => heard.link.view(), within).toMatchObject({
      status: 'silent', message: 'The meter has stopped sending. Is it switched on, and its output still turned on? The run goes on with its next reading.',
    })
    send(() => 'RES 221.5 Ohm A\r\n')
    await expect.poll(() => heard.link.view(), within).toMatchObject({ status: 'open', message: null })
    expect([heard.lost, heard.away]).toEqual([0, 0])
  })

  it('says of a meter whose lines are refused in mid-run that they arrive, with the last one and why; not that it has stopped sending', async () => {
    await heard.connect(pair.appEnd, description)
    send(() => 'RES 221.4 Ohm A\r\n')
    await expect.poll(() => heard.readings.length, within).toBeGreaterThan(3)
    clearInterval(sending)
    // Too far apart to be another kind of meter, and none of them a reading.
    sending = setInterval(() => { pair.write(Buffer.from('RES 22#.4 Ohm A\r\n')) }, 2400)
    await expect.poll(() => heard.link.view().message, { timeout: 20_000 }).toMatch(/^The meter sends, but its lines are refused\. The last one “RES 22#\.4 Ohm A”: the line does not fit the pattern\./)
    expect(heard.link.view().status).toBe('silent')
    clearInterval(sending)
    send(() => 'RES 221.5 Ohm A\r\n')
    await expect.poll(() => heard.link.view(), within).toMatchObject({ status: 'open', message: null })
  })

  it('that was silent long enough for its cable to be moved may lead to another meter of its kind: which one is asked anew', async () => {
    await heard.connect(pair.appEnd, description)
    send(() => 'RES 221.4 Ohm A\r\n')
    await expect.poll(() => heard.readings.length, within).toBeGreaterThan(3)
    clearInterval(sending)
    const since = performance.now()
    await expect.poll(() => performance.now() - since, within).toBeGreaterThan(5200)
    expect(heard.away).toBe(0)
    send(() => 'RES 221.5 Ohm A\r\n')
    await expect.poll(() => heard.away, within).toBe(1)
    expect(heard.lost).toBe(0)
  })

  it('says of a meter that never sent anything that no valid frame arrives', async () => {
    await heard.connect(pair.appEnd, description)
    await expect.poll(() => heard.link.view(), within).toMatchObject({ status: 'silent', message: 'No valid frame arrives. Is the meter on, and its output turned on? Is this its description?' })
  })

  it('says that another program holds it, and opens once that has let go', async () => {
    const script = `const { SerialPort } = require('serialport'); const p = new SerialPort({ path: ${JSON.stringify(pair.appEnd)}, baudRate: 9600 }); p.on('open', () => console.log('held'))`
    const other = spawn(process.execPath, ['-e', script], { cwd: root, stdio: ['ignore', 'pipe', 'inherit'] })
    try {
      await new Promise<void>((resolve) => { other.stdout.once('data', () => { resolve() }) })
      const refusal = await heard.connect(pair.appEnd, description).then(() => '', (error: Error) => error.message)
      expect(refusal).toMatch(new RegExp(`^Port ${pair.appEnd} is in use by another program\\. Close it, or choose another port\\.`))
      expect(heard.link.view()).toMatchObject({ status: 'closed', message: refusal })
    } finally {
      const ended = new Promise((resolve) => { other.once('exit', resolve) })
      other.kill()
      await ended
    }
    await heard.connect(pair.appEnd, description)
    expect(heard.link.view().status).toBe('open')
  })

  it.skipIf(!isRoot)(`that this account may not open names the group to join, and to sign in again${isRoot ? '' : ' (skipped: not root, so no other account can be tried)'}`, async () => {
    const folder = mkdtempSync(join(tmpdir(), 'probewright-nobody-'))
    chownSync(folder, 65534, 65534)
    chmodSync(join(pair.appEnd, '..'), 0o755)
    // The whole app, as an account that owns nothing.
    const app = spawn('setpriv', ['--reuid=65534', '--regid=65534', '--clear-groups', process.execPath, join(root, 'out/main/start.js'), '--no-open', '--port', '0', '--data', join(folder, 'data')],
      { cwd: root, stdio: ['ignore', 'pipe', 'pipe'], env: { ...process.env, HOME: folder } })
    try {
      let said = ''
      const address = await new Promise<string>((resolve, reject) => {
        app.stderr.on('data', (chunk: Buffer) => { said += chunk.toString() })
        app.stdout.on('data', (chunk: Buffer) => {
          const [found] = /http:\/\/127\.0\.0\.1:\d+\/#\S+/.exec(chunk.toString()) ?? []
          if (found !== undefined) resolve(found)
        })
        app.once('exit', () => { reject(new Error(`the app did not start: ${said}`)) })
      })
      const client = await openClient(address)
      const refusal = await client.ask('connect', { path: pair.appEnd, description: 'Line meter A' }).then(() => '', (error: Error) => error.message)
      client.close()
      expect(refusal).toMatch(new RegExp(`^This account may not open ${pair.appEnd}\\. On Linux, join the group that owns the port, often dialout \\(“sudo usermod -aG dialout \\$USER”\\), then sign in again\\.`))
    } finally {
      const ended = new Promise((resolve) => { app.once('exit', resolve) })
      if (app.exitCode === null) app.kill('SIGTERM')
      await ended
      rmSync(folder, { recursive: true, force: true })
    }
  })
})
