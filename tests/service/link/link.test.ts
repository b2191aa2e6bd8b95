/** The link over real pseudo-terminals: what is asked last stands, and a meter that is lost is said to be where it is. */
import { rmSync, writeFileSync } from 'node:fs'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openPtyPair, socatIsHere, type PtyPair } from '../../bench-tools/pty-pair'
import { seconds } from '../../../src-core/quantity/units'
import { createLink, wasOvertaken, type Link } from '../../../src-main/service/link/link'
import { shippedDescription } from '../practice/shipped'

const description = shippedDescription('line-meter-a.json')
const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })

type Heard = { link: Link; values: unknown[]; lost: number; back: number; changes: number; close: () => void }

/** A link with its ten ticks a second, and what it said. */
const listenIn = (): Heard => {
  const heard: Heard = {
    values: [], lost: 0, back: 0, changes: 0,
    link: createLink({
      reading: ({ value }) => { heard.values.push(value) },
      changed: () => { heard.changes += 1 },
      lost: () => { heard.lost += 1 },
      back: () => { heard.back += 1 },
    }, () => seconds(performance.now() / 1000)),
    close: () => {
      clearInterval(ticking)
      heard.link.disconnect()
    },
  }
  const ticking = setInterval(() => { heard.link.tick() }, 100)
  return heard
}
const connecting = (heard: Heard, path: string): Promise<unknown> =>
  heard.link.connect(path, description, description.port, 'm').then(() => 'connected', (error: unknown) => error)

describe.skipIf(!socatIsHere)('the link', () => {
  let pair: PtyPair
  let heard: Heard
  beforeEach(async () => {
    pair = await openPtyPair()
    heard = listenIn()
  })
  afterEach(async () => {
    heard.close()
    await pair.close()
  })

  it('stays closed when it is disconnected while it connects, and leaves the port to others', async () => {
    const outcome = connecting(heard, pair.appEnd)
    heard.link.disconnect()
    expect(wasOvertaken(await outcome)).toBe(true)
    await pause(800)
    expect(heard.link.view()).toMatchObject({ status: 'closed', path: null, meter: null, message: null })
    const other = listenIn()
    expect(await connecting(other, pair.appEnd)).toBe('connected')
    pair.write('RES 221.4 Ohm A\r\n')
    await expect.poll(() => other.values).toEqual([221.4])
    expect(heard.values).toEqual([])
    other.close()
  })

  it('stays in practice when practice is asked for while it connects', async () => {
    for (const path of [pair.appEnd, `${pair.appEnd}-none`]) {
      let feed: (bytes: Uint8Array) => void = () => undefined
      const outcome = connecting(heard, path)
      heard.link.practise(description, (bytes) => { feed = bytes; return { stop: () => undefined } }, 'practice')
      expect(wasOvertaken(await outcome)).toBe(true)
      await pause(100)
      expect(heard.link.view()).toMatchObject({ status: 'practice', path: null, meter: 'practice', message: null })
      feed(Buffer.from('DCV 1.500 V A\r\n'))
      await expect.poll(() => heard.values.splice(0)).toEqual([1.5])
    }
  })

  it('listens to the port asked for last, not to the one before', async () => {
    const second = await openPtyPair()
    const outcome = connecting(heard, pair.appEnd)
    expect(await connecting(heard, second.appEnd)).toBe('connected')
    expect(wasOvertaken(await outcome)).toBe(true)
    expect(heard.link.view()).toMatchObject({ status: 'open', path: second.appEnd })
    pair.write('RES 1.0 Ohm A\r\n')
    second.write('RES 2.0 Ohm A\r\n')
    await expect.poll(() => heard.values).toEqual([2])
    await pause(100)
    expect(heard.values).toEqual([2])
    await second.close()
  })

  it('is not marked as failed by an older connect that fails late', async () => {
    const outcome = connecting(heard, `${pair.appEnd}-none`)
    expect(await connecting(heard, pair.appEnd)).toBe('connected')
    const error = await outcome
    expect(error).toEqual(new Error('Another connection was asked for meanwhile.'))
    expect(heard.link.view()).toMatchObject({ status: 'open', path: pair.appEnd, message: null })
  })

  it('fails when the last connect fails, whatever the one before would have given', async () => {
    const outcome = connecting(heard, pair.appEnd)
    const error = await connecting(heard, `${pair.appEnd}-none`)
    expect(wasOvertaken(error)).toBe(false)
    expect(wasOvertaken(await outcome)).toBe(true)
    await pause(700)
    expect(heard.link.view()).toMatchObject({ status: 'closed', path: `${pair.appEnd}-none` })
  })

  it('connects to the same port however often it is asked at once', async () => {
    const outcomes = [1, 2, 3].map(() => connecting(heard, pair.appEnd))
    expect((await Promise.all(outcomes)).map((outcome) => (outcome === 'connected' ? outcome : wasOvertaken(outcome)))).toEqual([true, true, 'connected'])
    expect(await connecting(heard, pair.appEnd)).toBe('connected')
    pair.write('RES 3.0 Ohm A\r\n')
    await expect.poll(() => heard.values).toEqual([3])
  })

  it('says why a lost meter cannot be opened again, and that it is open but silent, until it speaks', async () => {
    await connecting(heard, pair.appEnd)
    pair.write('RES 221.4 Ohm A\r\n')
    await expect.poll(() => heard.values.length).toBe(1)
    await pair.unplug()
    await expect.poll(() => heard.link.view().message, { timeout: 20_000 }).toMatch(`There is no port ${pair.appEnd}`)
    expect(heard.link.view().status).toBe('lost')
    const changes = heard.changes
    await pause(1300)
    expect(heard.changes).toBe(changes)
    // Another thing under the same path is no meter: the words change, the loss stands.
    writeFileSync(pair.appEnd, '')
    await expect.poll(() => heard.link.view().message, { timeout: 20_000 }).toMatch(/is not a serial port/)
    rmSync(pair.appEnd)
    await pair.plugIn()
    await expect.poll(() => heard.link.view().message, { timeout: 20_000 }).toMatch(/open again, but silent/)
    expect(heard.link.view().status).toBe('lost')
    expect([heard.lost, heard.back]).toEqual([1, 0])
    pair.write('RES 221.5 Ohm A\r\n')
    await expect.poll(() => heard.link.view()).toMatchObject({ status: 'open', message: null })
    expect([heard.lost, heard.back]).toEqual([1, 1])
  })

  it('says that a port which came back mute is gone once more', async () => {
    await connecting(heard, pair.appEnd)
    await pair.unplug()
    await expect.poll(() => heard.link.view().status, { timeout: 20_000 }).toBe('lost')
    await pair.plugIn()
    await expect.poll(() => heard.link.view().message, { timeout: 20_000 }).toMatch(/open again, but silent/)
    await pair.unplug()
    await expect.poll(() => heard.link.view().message, { timeout: 20_000 }).toMatch(/There is no port/)
    expect(heard.lost).toBe(1)
  })

  it('does not go on reopening a lost port after it is disconnected', async () => {
    await connecting(heard, pair.appEnd)
    await pair.unplug()
    await expect.poll(() => heard.link.view().status, { timeout: 20_000 }).toBe('lost')
    heard.link.disconnect()
    await pair.plugIn()
    await pause(900)
    pair.write('RES 9.0 Ohm A\r\n')
    await pause(100)
    expect(heard.link.view()).toMatchObject({ status: 'closed', message: null })
    expect(heard.values).toEqual([])
  })
})
