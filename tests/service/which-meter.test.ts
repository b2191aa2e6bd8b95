/** Which meter hangs on the link: assumed until it is confirmed, asked again after every connection, and never in the way of measuring. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Meter } from '../../src-core/meter/instrument'
import { openClient, type ContractClient } from '../bench-tools/contract-client'
import { openPtyPair, socatIsHere, type PtyPair } from '../bench-tools/pty-pair'
import { startApp, type RunningApp } from '../bench-tools/running-app'

const board = { board: 'vent-driver-node', revision: 'C' }
const description = 'Line meter A'

describe.skipIf(!socatIsHere)('which meter it is', () => {
  let pair: PtyPair
  let app: RunningApp
  let client: ContractClient
  let first: Meter
  let second: Meter
  const meters = async (): Promise<Meter[]> => (await client.ask('hello', {})).library.meters
  const named = async (name: string): Promise<Meter> => {
    const found = (await meters()).find((meter) => meter.name === name)
    if (found === undefined) throw new Error(`there is no meter ${name}`)
    return found
  }
  const connect = (meter?: Meter, name?: string) => client.ask('connect', { path: pair.appEnd, description, ...(meter === undefined ? {} : { meter: meter.id }), ...(name === undefined ? {} : { name }) })
  const identity = async () => (await client.ask('hello', {})).identity
  const factOf = async (run: string, name: string): Promise<string | undefined> =>
    (await client.ask('read-run', { run })).meterFacts.find((fact) => fact.name === name)?.words
  /** Starts a board, and leaves it at once. */
  const started = async (): Promise<string> => {
    const { run } = await client.ask('start-run', { ...board, serialNumber: '' })
    await client.ask('end', { reason: 'only begun' })
    await client.ask('close-run', {})
    return run
  }
  beforeAll(async () => {
    pair = await openPtyPair()
    app = await startApp()
    client = await openClient(app.address)
    for (const [name, assetNumber] of [['Bench 1', 'A-0011'], ['Bench 2', 'A-0012']] as const) {
      await connect(undefined, name)
      const meter = await named(name)
      await client.ask('save-meter', { ...meter, register: { ...meter.register, assetNumber } })
    }
    first = await named('Bench 1')
    second = await named('Bench 2')
    await client.ask('disconnect', {})
  })
  afterAll(async () => {
    client.close()
    await app.close()
    await pair.close()
  })

  it('no meter: no question, and nothing to confirm', async () => {
    expect(await identity()).toBeNull()
    await expect(client.ask('confirm-meter', { meter: first.id })).rejects.toThrow(/No meter is connected/)
  })

  it('is assumed after a connection, which starts runs all the same, and confirmed by a press', async () => {
    await connect(first)
    expect(await identity()).toMatchObject({ meter: first.id, identity: 'assumed', words: 'Which meter is this? Confirm Bench 1, or scan its asset number.' })
    expect(await factOf(await started(), 'Which meter it was')).toBe('assumed, not confirmed when this run started')
    expect(await client.ask('confirm-meter', { meter: first.id })).toMatchObject({ identity: 'confirmed', words: 'Confirmed: this is Bench 1.' })
    await client.until('identity', (said) => said?.identity === 'confirmed')
    expect(await factOf(await started(), 'Which meter it was')).toBe('confirmed by the technician')
    await connect(first)
    expect(await identity()).toMatchObject({ identity: 'assumed' })
  })

  it('is confirmed by its asset number; a press meant for another meter confirms nothing', async () => {
    await connect(first)
    await expect(client.ask('confirm-meter', { meter: second.id })).rejects.toThrow(/Now Bench 1 is taken to be connected/)
    await expect(client.ask('confirm-meter', { meter: first.id, asset: 'B-7' })).rejects.toThrow(/No meter of this shop has the asset number “B-7”\. Bench 1 has “A-0011”/)
    expect(await identity()).toMatchObject({ identity: 'assumed', offer: null })
    expect(await client.ask('confirm-meter', { meter: first.id, asset: ' a-0011' })).toMatchObject({ identity: 'confirmed' })
  })

  it('the asset number of another meter takes the confirmation back and offers that meter', async () => {
    await connect(first)
    await client.ask('confirm-meter', { meter: first.id })
    await expect(client.ask('confirm-meter', { meter: first.id, asset: 'A-0012' })).rejects.toThrow(/is the asset number of Bench 2, not of Bench 1/)
    expect(await identity()).toMatchObject({ meter: first.id, identity: 'assumed', offer: { meter: second.id, name: 'Bench 2' } })
    expect(await client.ask('confirm-meter', { meter: second.id })).toMatchObject({ meter: second.id, identity: 'confirmed', offer: null })
    expect((await client.ask('hello', {})).link.meter).toBe(second.id)
    expect(await factOf(await started(), 'Asset number')).toBe('A-0012')
  })

  it('a meter connected as new that bears a known number is that known meter, and no second entry is left', async () => {
    const before = (await meters()).length
    await connect(undefined, 'Found on the shelf')
    const fresh = await named('Found on the shelf')
    await expect(client.ask('confirm-meter', { meter: fresh.id, asset: 'A-0012' })).rejects.toThrow(/Bench 2/)
    await client.ask('confirm-meter', { meter: second.id })
    const after = await meters()
    expect(after.map(({ name }) => name)).not.toContain('Found on the shelf')
    expect(after).toHaveLength(before)
    expect(after.find(({ id }) => id === second.id)?.port).toBe(pair.appEnd)
  })

  it('an asset number cannot be given twice, and the form does not write what only the instrument tells', async () => {
    await expect(client.ask('save-meter', { ...first, register: { ...first.register, assetNumber: 'a-0012' } })).rejects.toThrow(/that of Bench 2 already/)
    await client.ask('save-meter', { ...first, register: { ...first.register, identification: 'typed in', cable: 'typed in', kind: 'bench multimeter' } })
    expect((await named('Bench 1')).register).toMatchObject({ identification: null, cable: null, kind: 'bench multimeter', assetNumber: 'A-0011' })
  })

  it('an overdue calibration is said as a run starts, and stands in its record', async () => {
    const meter = await named('Bench 1')
    const certificate = { number: 'C-1', laboratory: 'Valley Calibration', accreditation: '', calibrated: '2020-01-10', due: '2021-01-10', asFound: 'not stated', asLeft: 'not stated', points: [] } as const
    await expect(client.ask('save-meter', { ...meter, register: { ...meter.register, certificate: { ...certificate, due: '2019-01-10' , points: [] } } })).rejects.toThrow(/lies before the day of calibration/)
    await client.ask('save-meter', { ...meter, register: { ...meter.register, certificate: { ...certificate, points: [] } } })
    await connect(await named('Bench 1'))
    const run = await started()
    await client.until('message', ({ text }) => text.includes('Calibration of this meter was due on 2021-01-10: its values are not traceable.'))
    expect(await factOf(run, 'Calibration due')).toBe('2021-01-10, overdue when this run started')
  })

  it('a mistaken connection can be forgotten, not while the meter is connected; runs keep what they were made with', async () => {
    await connect(undefined, 'Bench 3')
    const third = await named('Bench 3')
    await client.ask('confirm-meter', { meter: third.id })
    await client.ask('connect', { path: pair.appEnd, description, meter: third.id, port: { baud: 1200, dataBits: 8, parity: 'none', stopBits: 1 } })
    await client.ask('save-meter', { ...await named('Bench 3'), register: { ...third.register, kind: 'hand-held' } })
    const run = await started()
    await expect(client.ask('forget-connection', { meter: third.id })).rejects.toThrow('Bench 3 is connected. Disconnect it first')
    expect((await named('Bench 3')).port).toBe(pair.appEnd)
    await client.ask('disconnect', {})
    await client.ask('forget-connection', { meter: third.id })
    expect(await named('Bench 3')).toMatchObject({ port: null, settings: null, register: { cable: null, identification: null, kind: 'hand-held' } })
    expect((await client.ask('read-run', { run })).head.meter).toBe('Bench 3')
    await expect(client.ask('forget-connection', { meter: 'nobody' })).rejects.toThrow(/no longer in the list/)
  })

  describe('after the cable was away', () => {
    const pullAndPlug = async (): Promise<void> => {
      await pair.unplug()
      await client.until('link', (link) => link.status === 'lost', 10_000)
      await pair.plugIn()
      await expect.poll(() => {
        pair.write('RES 221.4 Ohm A\r\n')
        return client.last('bench')?.keys.some(({ action }) => action === 'same-meter')
      }, { timeout: 20_000, interval: 200 }).toBe(true)
    }
    const meterBacks = async (run: string): Promise<string[]> =>
      (await client.ask('read-run', { run })).events.map(({ words }) => words).filter((words) => words.startsWith('Meter back'))

    it('the answer at the bench, by a press or by a scan, is the confirmation', async () => {
      await connect(first)
      await client.ask('confirm-meter', { meter: first.id })
      const { run } = await client.ask('start-run', { ...board, serialNumber: 'REAL-1' })
      await pullAndPlug()
      expect(await identity()).toMatchObject({ meter: first.id, identity: 'assumed' })
      await client.ask('press', { key: 'same-meter' })
      expect(await identity()).toMatchObject({ meter: first.id, identity: 'confirmed' })

      await pullAndPlug()
      await expect(client.ask('confirm-meter', { meter: first.id, asset: 'B-7' })).rejects.toThrow(/No meter of this shop/)
      await client.ask('confirm-meter', { meter: first.id, asset: 'A-0011' })
      await client.until('bench', (bench) => bench?.keys.every(({ action }) => action !== 'same-meter') === true)
      expect(await identity()).toMatchObject({ meter: first.id, identity: 'confirmed' })

      await pullAndPlug()
      await client.ask('confirm-meter', { meter: first.id, asset: 'A-0012' })
      expect(await identity()).toMatchObject({ meter: second.id, identity: 'confirmed' })
      // The certificate of a record is that of the meter it was begun with.
      expect(await factOf(run, 'Asset number')).toBe('A-0011')
      expect(await meterBacks(run)).toEqual(['Meter back, the same one: Bench 1.', 'Meter back, the same one: Bench 1.', 'Meter back, another one: Bench 2.'])
      await client.ask('end', { reason: 'enough' })
      await client.ask('close-run', {})
    })

    it('nothing is confirmed while it is away', async () => {
      await connect(first)
      await pair.unplug()
      await client.until('link', (link) => link.status === 'lost', 10_000)
      await expect(client.ask('confirm-meter', { meter: first.id })).rejects.toThrow(/The meter is away/)
      expect(await identity()).toMatchObject({ identity: 'assumed' })
      await client.ask('disconnect', {})
      await pair.plugIn()
    })

    it('another meter that nobody named inherits neither certificate nor confirmation', async () => {
      await connect(first)
      await client.ask('confirm-meter', { meter: first.id })
      await client.ask('start-run', { ...board, serialNumber: 'REAL-2' })
      await pullAndPlug()
      await client.ask('press', { key: 'other-meter' })
      const now = await identity()
      expect(now).toMatchObject({ identity: 'assumed', name: expect.stringMatching(/^another meter/) })
      await client.ask('end', { reason: 'enough' })
      await client.ask('close-run', {})
      const run = await started()
      expect((await client.ask('read-run', { run })).head.meter).toMatch(/^another meter/)
      expect(await factOf(run, 'Calibration')).toMatch(/No calibration certificate/)
    })
  })
})
