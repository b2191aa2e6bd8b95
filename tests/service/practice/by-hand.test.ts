/** Manual practice through the contract: the hand is the user's, wrong places and all, and the end tells the fault and the shortest way. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { CommandInput, EventPayload } from '../../../src-core/contract'
import { nextBoardAfterSeconds } from '../../../src-core/run/next-board'
import { openClient, type ContractClient } from '../../bench-tools/contract-client'
import { goOnByHand } from '../../bench-tools/practising-hand'
import { startApp, type RunningApp } from '../../bench-tools/running-app'

type Bench = NonNullable<EventPayload<'bench'>>
type Hand = CommandInput<'place'>
const soil: CommandInput<'start-practice'> = { board: 'soil-relay', revision: 'A', seed: 5, faults: ['K1:open'], by: 'hand' }
const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })

let app: RunningApp
let client: ContractClient
beforeAll(async () => {
  app = await startApp()
  client = await openClient(app.address)
})
afterAll(async () => {
  client.close()
  await app.close()
})

const bench = (): Bench => {
  const present = client.last('bench')
  if (present === undefined || present === null) throw new Error('no run is on the bench')
  return present
}
const hand = (): Hand => bench().hand?.hand ?? { tips: 'lifted', function: 'resistance' }
const place = (tips: Hand['tips'], what = hand().function): Promise<unknown> => client.ask('place', { tips, function: what })

const goOn = (until: (shown: Bench) => boolean): Promise<void> => goOnByHand(client, until)

describe('practice by hand', () => {
  it('is refused where no hand is the user’s: with no run, and where the simulated hand plays', async () => {
    const words = /^Leads are placed on screen only in practice by hand\./
    await expect(client.ask('place', { tips: 'lifted', function: 'diode' })).rejects.toThrow(words)
    await client.ask('start-practice', { seed: 1 })
    await expect(client.ask('place', { tips: 'lifted', function: 'diode' })).rejects.toThrow(words)
    expect(bench().hand).toBeUndefined()
    await client.ask('end', { reason: 'enough' })
    await client.ask('close-run', {})
  })

  it('without a board it is the vent driver node, revision C; a revision that is not there is refused', async () => {
    await client.ask('start-practice', { by: 'hand' })
    expect(bench().board).toMatchObject({ id: 'vent-driver-node', revision: 'C' })
    await client.ask('end', { reason: 'enough' })
    await client.ask('close-run', {})
    await expect(client.ask('start-practice', { board: 'vent-driver-node', revision: 'Z' })).rejects.toThrow('There is no board type vent-driver-node revision Z. Choose one from the list.')
  })

  it('a whole run: a wrong placement is named at once, or recorded where a fault reads like it, and the end names the fault and the shortest way', async () => {
    await client.ask('start-practice', soil)
    expect(bench().hand?.dial.map((one) => one.function)).toEqual(expect.arrayContaining(['dc-voltage', 'resistance', 'continuity', 'diode']))

    await goOn((shown) => shown.step?.fixture === 'known-diode')
    await expect(place({ leads: { red: 'X9', black: 'J1.1' } })).rejects.toThrow('Soil relay has no test point X9; no lead can go there.')
    await expect(place('lifted', 'temperature')).rejects.toThrow(/^The dial of this meter has no temperature\./)
    await expect(client.ask('place', { tips: 'on the table', function: 'diode' } as never)).rejects.toThrow(/was not understood/)

    // One lead alone is air; the other way round the known diode is open, as on a real bench.
    await place({ leads: { red: '@cathode', black: null } }, 'diode')
    await pause(700)
    expect(client.last('live')?.reading?.figure).toBe('OL')
    await place({ fixture: 'known-diode', reversed: true })
    await pause(700)
    expect([client.last('live')?.reading?.figure, bench().hand?.red, bench().step?.id]).toEqual(['OL', '@cathode', 'prepare/known-diode'])

    await goOn((shown) => shown.step?.id === 'l1')
    // On the 5 V rail, some 9 kΩ: no fault of L1 reads so. It is named at once, and nothing is recorded.
    await place('lifted', 'resistance')
    await pause(500)
    await place({ leads: { red: 'C2.1', black: 'C2.2' } })
    await client.until('live', ({ state }) => /^looks like 5 V rail: (are you on L1|right place)\?$/.test(state), 15_000)
    expect(client.last('live')).toMatchObject({ wants: 'lift', tone: 'warn' })
    expect(bench().steps.find(({ id }) => id === 'l1')).toMatchObject({ value: '', earlier: [], verdict: null })
    // The user's leads are on the fuse instead of L1: 0.25 Ω where 1.4 Ω to 3.2 Ω are due. The reading is sent, recorded and judged.
    await place('lifted', 'resistance')
    await pause(500)
    const fuse = { leads: { red: 'J1.1', black: 'F1.2' } }
    await place(fuse)
    await client.until('bench', (shown) => shown?.steps.find(({ id }) => id === 'l1')?.value !== '', 15_000)
    await place('lifted')
    await pause(500)
    await place(fuse)
    await client.until('bench', (shown) => shown?.steps.find(({ id }) => id === 'l1')?.verdict === 'fail', 15_000)
    expect(bench().result).toBeNull()

    await goOn((shown) => shown.result !== null)
    const { result, steps } = bench()
    expect(bench().hand).toBeUndefined()
    expect([result?.verdict, result?.failed.map(({ step }) => step)]).toEqual(['fail', ['l1', 'k1']])
    const l1 = steps.find(({ id }) => id === 'l1')
    expect([l1?.value, l1?.earlier.length]).toEqual([expect.stringMatching(/^0\.[123] Ω$/), 1])

    await client.until('bench', (shown) => shown?.notes.includes('The leads were not where they were asked for at: L1 series coil.') === true)
    await client.until('bench', (shown) => shown?.result?.truth?.includes('would have shown it') === true, 20_000)
    const touched = (preparation: boolean): number => bench().steps.filter((row) => row.kind === 'measure' && row.preparation === preparation)
      .reduce((sum, row) => sum + (row.value === '' ? 0 : 1) + row.earlier.length, 0)
    const prepared = touched(true)
    // 12 steps to measure, a second touch for each of the two that failed with a figure.
    expect(touched(false)).toBe(14)
    expect(bench().result?.truth).toBe(`Hidden in the practice board: K1 is open. You made 14 touches, and ${prepared} in the preparation; 1 would have shown it: K1 coil.`)
  })

  it('opened again from the records it says the same, and the next board is by hand as well', async () => {
    const run = bench().run
    const said = bench().result?.truth
    expect((await client.ask('read-truth', { run })).truth).toBe(said)
    expect((await client.ask('read-run', { run })).truth).toBe(said)
    await pause(nextBoardAfterSeconds * 1000)
    const next = await client.ask('next-board', { serialNumber: '' })
    expect([bench().run, bench().board, bench().hand?.hand.tips]).toEqual([next.run, expect.objectContaining({ id: 'soil-relay', revision: 'A' }), 'lifted'])
    await client.ask('end', { reason: 'enough' })
    await client.ask('close-run', {})
    await client.ask('open-run', { run })
    await client.until('bench', (shown) => shown?.run === run && shown.result?.truth === said, 20_000)
    await expect(client.ask('place', { tips: 'lifted', function: 'diode' })).rejects.toThrow(/only in practice by hand/)
    await client.ask('close-run', {})
  })

  it('put aside and taken up again the hand is still the user’s, with the leads off', async () => {
    const { run } = await client.ask('start-practice', soil)
    await place({ fixture: 'known-source', reversed: false })
    await client.ask('close-run', {})
    await client.ask('open-run', { run })
    const shown = await client.until('bench', (one) => one?.run === run && one.hand !== undefined)
    expect(shown?.hand?.hand.tips).toBe('lifted')
    await client.ask('end', { reason: 'enough' })
  })
})
