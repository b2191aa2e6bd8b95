/** A whole run with an instrument that the app sets by itself: nobody is asked for a dial, and it is put back when the app stops. */
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { networkOf } from '../../../src-core/circuit/network'
import type { MeterFunction } from '../../../src-core/meter/reading'
import { technician, technicianAtRest } from '../../../src-main/service/practice/technician'
import { settledReading } from '../../../src-main/service/practice/settled-reading'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { putInstrumentOn } from '../../bench-tools/instrument-on-port'
import { openApp, openDataFolder } from '../../bench-tools/opened'
import { openPtyPair, socatIsHere } from '../../bench-tools/pty-pair'
import { trainer } from '../../bench-tools/scpi-description'
import type { InstrumentFunction } from '../../bench-tools/scpi-instrument'
import { mistValve, putBoard } from '../../bench-tools/small-board'
import { capturedIn, storedEvents } from '../../bench-tools/stored-run'

const measures: Partial<Record<InstrumentFunction, MeterFunction>> = { VOLT: 'dc-voltage', 'VOLT:AC': 'ac-voltage', RES: 'resistance', CONT: 'continuity', DIOD: 'diode', CAP: 'capacitance' }

const later = closeAfterEach()

describe.skipIf(!socatIsHere)('a run with an instrument that speaks SCPI', () => {
  it('has every function set by the app, without a word about a dial, and leaves the instrument as it was', async () => {
    const pair = await openPtyPair()
    later(() => pair.close())
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, mistValve)
    mkdirSync(join(dataFolder, 'meters'), { recursive: true })
    writeFileSync(join(dataFolder, 'meters', 'trainer.json'), JSON.stringify(trainer()))

    // The hand moves the leads alone; what they lie on shows in whatever function the instrument was set to.
    const network = networkOf(mistValve, [])
    let hand = technicianAtRest(0)
    let reads = 0
    const on = await putInstrumentOn(pair.meterEnd, { identity: 'Our own bench,Trainer,7,2', answerSeconds: 0.005, readSeconds: 0.03 }, (what) => {
      const fn = measures[what]
      if (fn === undefined) return null
      const { value } = settledReading(mistValve, network, { tips: hand.hand.tips, function: fn })
      reads += 1
      return typeof value === 'number' ? value * (1 + (reads % 3) * 1e-5) + (reads % 2) * 1e-6 : null
    })
    later(() => on.stop())
    Object.assign(on.instrument, { function: 'VOLT:AC' })
    on.instrument.settings['RES'] = { range: 1e6, auto: false }

    const { app, client } = await openApp(later, { dataFolder })
    await expect.poll(async () => (await client.ask('hello', {})).library.descriptions.map(({ name }) => name), { timeout: 20_000 }).toContain('Six digit trainer')
    await client.ask('connect', { path: pair.appEnd, description: 'Six digit trainer' })
    const { run } = await client.ask('start-run', { board: 'mist-valve', revision: 'A', serialNumber: 'MV-7' })

    const saidOfDial: string[] = []
    const setBy = new Set<string>()
    client.on('bench', (bench) => {
      const said = JSON.stringify([bench?.step?.prompt, bench?.step?.where, bench?.spoken])
      if (/dial/i.test(said)) saidOfDial.push(said)
    })
    client.on('live', (live) => {
      if (live.wants === 'dial' || /dial/i.test(`${live.state} ${JSON.stringify(live.spoken)}`)) saidOfDial.push(live.state)
    })
    client.on('tone', ({ tone }) => { if (tone === 'wrong-function') saidOfDial.push('tone') })
    const now = (): number => performance.now() / 1000
    const moving = setInterval(() => {
      const [bench, live] = [client.last('bench'), client.last('live')]
      if (bench === undefined || live === undefined) return
      setBy.add(on.instrument.function)
      const next = technician(hand, bench, live, now())
      hand = next.technician
      for (const action of next.actions) if (action.kind === 'press') void client.ask('press', { key: action.key }).catch(() => undefined)
    })
    later(() => { clearInterval(moving) })

    const ended = await client.until('bench', (bench) => bench?.result !== null && bench?.result !== undefined, 60_000)
    expect(ended?.result?.verdict).toBe('pass')
    expect(saidOfDial).toEqual([])
    expect([...setBy].filter((what) => ['RES', 'DIOD', 'VOLT'].includes(what)).sort()).toEqual(['DIOD', 'RES', 'VOLT'])
    const link = client.last('link')
    expect(link).toMatchObject({ status: 'open', identification: 'Our own bench,Trainer,7,2', message: null })
    client.close()
    await app.close()
    const captured = capturedIn(storedEvents(dataFolder, run))
    expect(captured.map((event) => event.function)).toContain('diode')
    const r1 = captured.find((event) => event.step === 'r1')
    expect(r1).toMatchObject({ function: 'resistance', unit: 'Ω', range: 1000, resolution: 0.01 })
    await expect.poll(() => on.instrument.function, { timeout: 20_000 }).toBe('VOLT:AC')
    expect(on.instrument.settings['RES']).toEqual({ range: 1e6, auto: false })
    expect(on.instrument.errors).toEqual([])
  })
})
