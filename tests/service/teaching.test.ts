/** Teaching through the contract, over real pseudo-terminals: one holder of the port, nothing lost with the cable, no file written over another. */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { checkDescription } from '../../src-core/meter/check'
import type { TeachSetup } from '../../src-core/meter/teach/setup'
import type { Shown } from '../../src-core/meter/teach/shown'
import { closeAfterEach } from '../bench-tools/close-after-each'
import type { ContractClient } from '../bench-tools/contract-client'
import { openApp, openDataFolder } from '../bench-tools/opened'
import { openPtyPair, socatIsHere, type PtyPair } from '../bench-tools/pty-pair'

const later = closeAfterEach()
const setup: TeachSetup = { name: 'Drawer meter', counts: 6000, functions: ['dc-voltage'], port: { baud: 2400, dataBits: 8, parity: 'none', stopBits: 1 } }
const volts = (text: string): Shown => ({ function: 'dc-voltage', text, mark: 'V', flags: [] })

type Meter = { show: (text: string) => void }

/** Sends the line of its display again and again; nothing while its cable is out. */
const startMeter = (pair: PtyPair): Meter & { cable: { out: boolean } } => {
  let line = ''
  const cable = { out: false }
  const sending = setInterval(() => { if (line !== '' && !cable.out) pair.write(line) }, 30)
  later(() => { clearInterval(sending) })
  return { cable, show: (text) => { line = `${text} V; DV\r\n` } }
}

/** Asks again for as long as the new figure has not arrived. */
const typeIn = async (client: ContractClient, meter: Meter, text: string): Promise<void> => {
  meter.show(text)
  const { teaching } = await client.ask('hello', {})
  const before = teaching?.typed ?? 0
  await expect.poll(() => client.ask('teach-shown', { shown: volts(text) }).then(() => 'taken', (error: Error) => error.message), { timeout: 20_000, interval: 100 }).toBe('taken')
  await client.until('teaching', (view) => view !== null && view.typed > before && !view.thinking)
}

const begin = async () => {
  const pair = await openPtyPair()
  later(() => pair.close())
  const dataFolder = openDataFolder(later)
  const { client, app } = await openApp(later, { dataFolder })
  const meter = startMeter(pair)
  return { pair, dataFolder, client, app, meter }
}

describe.skipIf(!socatIsHere)('teaching, as the service does it', () => {
  it('keeps what was taught when the cable is pulled, goes on where it stood, and writes a file that can be read but over no other', async () => {
    const { pair, dataFolder, client, app, meter } = await begin()
    await client.ask('teach-listen', { path: pair.appEnd, setup })
    for (const text of ['1.234', '-2.567', '0.809']) await typeIn(client, meter, text)
    const heard = await client.until('heard', ({ rows }) => rows.length > 0)
    expect(heard.rows[0]?.length).toBeGreaterThan(4)

    meter.cable.out = true
    await pair.unplug()
    const gone = await client.until('teaching', (view) => view?.path === null)
    expect(gone?.message).toContain('What was taught is kept')
    expect(gone?.examples).toHaveLength(3)
    await pair.plugIn()
    meter.cable.out = false
    await client.ask('teach-listen', { path: pair.appEnd, setup })
    await typeIn(client, meter, '4.444')
    await client.ask('teach-cannot', { key: 'range:dc-voltage' })
    const done = await client.until('teaching', (view) => view !== null && view.ask === null && view.description !== null)
    expect(done?.examples).toHaveLength(4)

    const { file } = await client.ask('save-description', { name: 'Drawer meter' })
    expect(file).toBe(join(dataFolder, 'meters', 'drawer-meter.json'))
    expect('description' in checkDescription(JSON.parse(readFileSync(file, 'utf8')), file, () => performance.now())).toBe(true)
    await client.until('library', ({ descriptions }) => descriptions.some(({ name, builtIn }) => name === 'Drawer meter' && !builtIn))
    await expect(client.ask('save-description', { name: 'Drawer meter' })).rejects.toThrow('There is already a description “Drawer meter”')
    // Another name, but the file of that name is somebody's.
    mkdirSync(join(dataFolder, 'meters'), { recursive: true })
    writeFileSync(join(dataFolder, 'meters', 'shelf-meter.json'), 'mine')
    await expect(client.ask('save-description', { name: 'Shelf meter' })).rejects.toThrow('There is already a file')
    expect(readFileSync(join(dataFolder, 'meters', 'shelf-meter.json'), 'utf8')).toBe('mine')

    const { path, name } = await client.ask('export-description', { name: 'Drawer meter' })
    const { origin, hash } = new URL(app.address)
    const fetched = await fetch(`${origin}${path}?token=${hash.slice(1)}`)
    expect([name, await fetched.text()]).toEqual(['drawer-meter.json', readFileSync(file, 'utf8')])
  })

  it('does not listen while a meter is connected, and gives its port to one that is to be connected', async () => {
    const { pair, client } = await begin()
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A' })
    await expect(client.ask('teach-listen', { path: pair.appEnd, setup })).rejects.toThrow('A meter is connected')
    await client.ask('disconnect', {})
    // The system may need a moment to have the port back.
    await expect.poll(() => client.ask('teach-listen', { path: pair.appEnd, setup }).then(() => 'listening', (error: Error) => error.message), { timeout: 20_000 }).toBe('listening')
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A' })
    expect((await client.ask('hello', {})).teaching?.path).toBeNull()
  })

  it('says in words what cannot be done: no such port, nothing taught yet, no description yet', async () => {
    const { pair, client, dataFolder } = await begin()
    await expect(client.ask('teach-shown', { shown: volts('1.234') })).rejects.toThrow('Nothing is being taught')
    await expect(client.ask('teach-listen', { path: '/dev/nowhere', setup })).rejects.toThrow('There is no port /dev/nowhere')
    await client.ask('teach-listen', { path: pair.appEnd, setup })
    await expect(client.ask('teach-shown', { shown: volts('1.234') })).rejects.toThrow('sends nothing')
    await expect(client.ask('save-description', { name: 'Drawer meter' })).rejects.toThrow('There is no description yet')
    expect(existsSync(join(dataFolder, 'meters', 'drawer-meter.json'))).toBe(false)
  })
})
