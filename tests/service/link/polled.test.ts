/** A meter that is asked for each frame, over real pseudo-terminals. */
import { SerialPort } from 'serialport'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { meterDescription } from '../../../src-core/meter/description'
import { hearLink, type HeardLink } from '../../bench-tools/heard-link'
import { openPtyPair, socatIsHere, type PtyPair } from '../../bench-tools/pty-pair'
import { shippedDescription } from '../practice/shipped'

const lines = shippedDescription('line-meter-a.json')
const polled = meterDescription.parse({
  ...lines, name: 'Asked line meter',
  framing: { ...lines.framing, poll: { send: '443f0d', everySeconds: 0.05, timeoutSeconds: 0.15, retries: 1 } },
})
const within = { timeout: 20_000, interval: 20 }

describe.skipIf(!socatIsHere)('a polled meter', () => {
  let pair: PtyPair
  let heard: HeardLink
  let meter: SerialPort
  let asked: string[]
  let answers: (question: number) => string
  beforeEach(async () => {
    pair = await openPtyPair()
    heard = hearLink()
    asked = []
    answers = () => 'RES 221.4 Ohm A\r\n'
    meter = new SerialPort({ path: pair.meterEnd, baudRate: 9600 })
    meter.on('data', (chunk: Buffer) => {
      for (const question of chunk.toString('latin1').split(/(?<=\r)/)) {
        asked.push(question)
        const answer = answers(asked.length)
        if (answer !== '') meter.write(answer)
      }
    })
  })
  afterEach(async () => {
    await heard.close()
    await new Promise<void>((resolve) => { meter.close(() => { resolve() }) })
    await pair.close()
  })

  it('is asked in its own bytes, and each answer is a reading', async () => {
    await heard.connect(pair.appEnd, polled)
    await expect.poll(() => heard.readings.length, within).toBeGreaterThan(4)
    expect(new Set(asked)).toEqual(new Set(['D?\r']))
    expect(heard.readings.every(({ value }) => value === 221.4)).toBe(true)
    expect(asked.length - heard.readings.length).toBeLessThanOrEqual(1)
  })

  it('is asked again when an answer is missing', async () => {
    answers = (question) => (question % 2 === 0 ? 'RES 221.4 Ohm A\r\n' : '')
    await heard.connect(pair.appEnd, polled)
    await expect.poll(() => heard.readings.length, within).toBeGreaterThan(3)
    expect(heard.link.view()).toMatchObject({ status: 'open', message: null })
    expect(heard.messages()).toEqual([])
  })

  it('counts no frame that it sends unasked', async () => {
    answers = () => 'RES 221.4 Ohm A\r\nRES 999.9 Ohm A\r\n'
    await heard.connect(pair.appEnd, polled)
    await expect.poll(() => heard.readings.length, within).toBeGreaterThan(3)
    expect(heard.readings.every(({ value }) => value === 221.4)).toBe(true)
    expect(heard.link.view().rejects).toBeGreaterThan(2)
  })

  it('does not answer, which is said, and is heard again when it does', async () => {
    answers = () => ''
    await heard.connect(pair.appEnd, polled)
    await expect.poll(() => heard.link.view(), within).toMatchObject({ status: 'silent', message: expect.stringMatching(/^The meter does not answer\. Is it on/) as string })
    answers = () => 'RES 221.4 Ohm A\r\n'
    await expect.poll(() => heard.link.view(), within).toMatchObject({ status: 'open', message: null })
    expect(heard.lost).toBe(0)
  })

  it('is not asked again over another cable that came to its path; over its own it is', async () => {
    let cable = 'f1f1:0001 K7'
    await heard.close()
    heard = hearLink(() => Promise.resolve(cable))
    await heard.connect(pair.appEnd, polled)
    await expect.poll(() => heard.readings.length, within).toBeGreaterThan(1)
    await new Promise<void>((resolve) => { meter.close(() => { resolve() }) })
    await pair.unplug()
    await expect.poll(() => heard.link.view().status, within).toBe('lost')
    cable = 'f1f1:0001 K8'
    await pair.plugIn()
    asked = []
    meter = new SerialPort({ path: pair.meterEnd, baudRate: 9600 })
    meter.on('data', (chunk: Buffer) => {
      asked.push(chunk.toString('latin1'))
      meter.write('RES 221.4 Ohm A\r\n')
    })
    await expect.poll(() => heard.link.view().message, within).toMatch(/^Another cable is at .* nothing is sent to it/)
    expect(asked).toEqual([])
    cable = 'f1f1:0001 K7'
    await expect.poll(() => heard.link.view(), within).toMatchObject({ status: 'open', message: null })
    expect(new Set(asked)).toEqual(new Set(['D?\r']))
  })
})
