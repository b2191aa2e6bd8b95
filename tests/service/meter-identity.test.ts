/** What an instrument's own reply does to the register: it proves, it contradicts, and it never makes a second entry. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Meter } from '../../src-core/meter/instrument'
import { blankRegisterEntry } from '../../src-core/meter/register'
import { cableOf } from '../../src-main/service/link/ports'
import { createMeterIdentity, type IdentityKeeper } from '../../src-main/service/meter-identity'
import { openStoreFile, type Database } from '../../src-main/service/store/open-store'
import { openShopStore, type ShopStore } from '../../src-main/service/store/shop-store'
import { checkedMeter, newMeter } from '../core/run/a-run'

const port = '/dev/bench-port'
const reply = 'Fenwick Bench,BM-8,SN20417,1.02'
const utc = '2026-03-01T08:00:00.000Z'
let folder: string
let database: Database
let shop: ShopStore
let identity: IdentityKeeper
let inUse: Meter | null
let cable: string | null
/** A run is on the bench; what it was told to note. */
let onBench: boolean
let noted: string[]
const entry = (id: string, identification: string | null = null): Meter =>
  ({ ...newMeter, id, name: `Bench ${id}`, port, register: { ...blankRegisterEntry, identification } })

/** The store is a real one; the bench holds a run only where a test says so. */
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'probewright-identity-'))
  database = openStoreFile(folder)
  shop = openShopStore(database)
  inUse = null
  cable = null
  onBench = false
  noted = []
  identity = createMeterIdentity({
    shop, meter: () => inUse, use: (meter) => { inUse = meter }, taken: (meter, because) => { inUse = meter; if (because !== undefined) noted.push(because) }, doubted: (because) => { noted.push(because) }, edited: (meter) => { inUse = meter },
    away: () => false, bench: () => (onBench && inUse !== null ? { meter: inUse, asks: false } : null), saySame: () => null, cableAt: (path) => Promise.resolve(path === port ? cable : null), changed: () => undefined,
    report: (error) => { throw error },
  })
})
afterEach(() => {
  identity.close()
  database.close()
  rmSync(folder, { recursive: true, force: true })
})

const keep = (...meters: Meter[]): void => { for (const meter of meters) shop.saveMeter(meter, utc) }
const connect = (meter: Meter, fresh: boolean, before: string | null = null): void => {
  identity.connecting()
  if (before !== null) identity.identified(before)
  identity.connected(meter, fresh)
}
const kept = (id: string): Meter | undefined => shop.meters().find((meter) => meter.id === id)

describe('an instrument that says who it is', () => {
  it.each([['before', reply], ['after', null]] as const)('is proven by the reply that is kept, told %s the link stands', (_when, before) => {
    keep(entry('1', reply))
    connect(entry('1', reply), false, before)
    if (before === null) identity.identified('Fenwick Bench,BM-8,SN20417,1.10')
    expect(identity.view()).toMatchObject({ identity: 'proven', words: 'This is Bench 1: its own reply proves it.' })
    expect(identity.now()).toBe('proven')
    // A newer firmware is kept, so that the register says what it answers now.
    expect(kept('1')?.register.identification).toBe(before ?? 'Fenwick Bench,BM-8,SN20417,1.10')
  })
  it('whose reply is not kept yet needs one confirmation; then the reply proves it', () => {
    keep(entry('1'))
    connect(entry('1'), false)
    identity.identified(reply)
    expect(identity.view()?.identity).toBe('assumed')
    expect(kept('1')?.register.identification).toBeNull()
    identity.confirm({ meter: '1' })
    expect(kept('1')?.register.identification).toBe(reply)
    connect(kept('1') ?? entry('1'), false, reply)
    expect(identity.view()?.identity).toBe('proven')
  })
  it.each([['before', reply], ['after', null]] as const)('connected as new is the known meter whose reply it gives, told %s the link stands: no second entry', (_when, before) => {
    keep(entry('1', reply))
    connect(entry('new'), true, before)
    if (before === null) identity.identified(reply)
    expect(shop.meters().map(({ id }) => id)).toEqual(['1'])
    expect(inUse?.id).toBe('1')
    expect(identity.view()).toMatchObject({ meter: '1', identity: 'proven' })
    expect(identity.meterOf('new')).toBe('1')
  })
  it('connected as new with measurements of its own is not thrown away', () => {
    keep(entry('1', reply))
    connect({ ...entry('new'), leadCheck: checkedMeter.leadCheck }, true)
    identity.identified(reply)
    expect(shop.meters().map(({ id }) => id).sort()).toEqual(['1', 'new'])
    expect(identity.view()?.meter).toBe('1')
  })
  it('new to the shop is kept with its reply, so that it is known the next time', () => {
    connect(entry('new'), true, reply)
    expect(kept('new')?.register.identification).toBe(reply)
    expect(identity.view()?.identity).toBe('assumed')
  })
  it('that is another meter than was chosen is said to be that one, cannot be confirmed, and is taken as it in one press', () => {
    keep(entry('1', reply), entry('2', 'Fenwick Bench,BM-8,SN99,1.02'))
    connect(entry('2', 'Fenwick Bench,BM-8,SN99,1.02'), false)
    identity.confirm({ meter: '2' })
    identity.identified(reply)
    expect(identity.view()).toMatchObject({
      identity: 'assumed', contradicted: true, offer: { meter: '1', name: 'Bench 1' }, words: expect.stringMatching(/^This is another meter than Bench 2: .* It answers as Bench 1 does/),
    })
    expect(() => identity.confirm({ meter: '2' })).toThrow(/another meter than Bench 2/)
    expect(identity.against()).toMatch(/another meter than Bench 2/)
    identity.confirm({ meter: '1' })
    expect(identity.view()).toMatchObject({ meter: '1', identity: 'proven', contradicted: false, offer: null })
    // What was known of the other one is untouched.
    expect(kept('2')?.register.identification).toBe('Fenwick Bench,BM-8,SN99,1.02')
  })
  it('is no longer proven once its cable was pulled', () => {
    keep(entry('1', reply))
    connect(entry('1', reply), false, reply)
    identity.lost()
    expect(identity.view()?.identity).toBe('assumed')
    identity.identified('Fenwick Bench,BM-8,SN3,1.02')
    expect(identity.view()).toMatchObject({ identity: 'assumed', contradicted: true, offer: null, words: expect.stringMatching(/connect it as another meter/) })
  })
})

describe('in mid-run', () => {
  const other = 'Fenwick Bench,BM-8,SN99,1.02'
  it('another reply after a silence is noted once in the run; the meter it is taken as afterwards is not said to have been there before', () => {
    keep(entry('1', reply), entry('2', other))
    connect(entry('1', reply), false, reply)
    onBench = true
    identity.identified(reply)
    expect(noted).toEqual([])
    identity.identified(other)
    identity.identified(other)
    expect(noted).toEqual(['From here on the meter does not answer as Bench 1 did, but as Bench 2 does. Nothing was recorded until it was said which meter it is.'])
    // The right one is back: its reply says so, and another change would be noted again.
    identity.identified(reply)
    expect(identity.view()).toMatchObject({ identity: 'proven', contradicted: false })
    identity.identified(other)
    expect(noted).toHaveLength(2)
  })
  it('another instrument confirmed with no break is noted for the values before', () => {
    keep({ ...entry('1'), register: { ...blankRegisterEntry, assetNumber: 'A-1' } }, { ...entry('2'), register: { ...blankRegisterEntry, assetNumber: 'A-2' } })
    connect({ ...entry('1'), register: { ...blankRegisterEntry, assetNumber: 'A-1' } }, false)
    onBench = true
    expect(() => identity.confirm({ meter: '1', asset: 'A-2' })).toThrow(/is the asset number of Bench 2/)
    expect(noted).toEqual([])
    identity.confirm({ meter: '2' })
    expect(noted).toEqual(['Until here the meter was taken to be Bench 1; it was then confirmed to be Bench 2. Values before this may be of Bench 2 too.'])
  })
})

describe('a cable', () => {
  it('is kept with the meter once that is confirmed, and not before', async () => {
    cable = 'f1f1:0001 K7'
    keep(entry('1'))
    connect(entry('1'), false)
    expect(kept('1')?.register.cable).toBeNull()
    identity.confirm({ meter: '1' })
    await expect.poll(() => kept('1')?.register.cable).toBe('f1f1:0001 K7')
  })
  it('is named by what the system tells of it, and by nothing where it tells nothing', () => {
    expect(cableOf({ vendorId: 'F1F1', productId: '0001', serialNumber: 'K7' })).toBe('f1f1:0001 K7')
    expect(cableOf({ vendorId: 'f1f1', productId: '0001' })).toBe('f1f1:0001')
    expect(cableOf({ serialNumber: 'K7' })).toBeNull()
  })
})

describe('a meter kept before there was a register', () => {
  it('is read with a blank entry, and loses nothing of what it had', () => {
    // As earlier versions wrote it.
    const body = {
      id: 'old', name: 'Old hand', description: 'Line meter A', port, settings: null, isolated: 'yes', accuracy: { resistance: { percent: 0.5, counts: 2 } },
      air: [{ function: 'resistance', range: null, apart: 'overload', joined: { from: 0, to: 0.2 } }],
      leadCheck: { utc, ohms: 0.2, U: 0.06, resolution: 0.1, run: '11111111-2222-4333-8444-555555555555' }, diodeCheck: null, sourceCheck: null,
    }
    database.prepare('INSERT INTO meter (id, body, used_utc) VALUES (?, ?, ?)').run('old', JSON.stringify(body), utc)
    expect(shop.meters()).toEqual([{ ...body, register: blankRegisterEntry }])
    connect({ ...entry('old'), ...shop.meters()[0] }, false)
    identity.confirm({ meter: 'old' })
    expect(kept('old')).toMatchObject({ accuracy: body.accuracy, leadCheck: body.leadCheck })
  })
})
