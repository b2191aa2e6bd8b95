/** One unit through the service: fault found, two parts replaced, a leg forgotten, measured again, closed; read anew after a restart. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import type { RepairEntry } from '../../src-core/repair/entry'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { lineInput } from '../bench-tools/lifted-board'
import { openApp, openDataFolder } from '../bench-tools/opened'
import { infoOf, popplerIsHere, textOf } from '../bench-tools/pdf-tools'
import { putBoard } from '../bench-tools/small-board'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()
const whole = lineInput([18_000, 31_000])
const board = { ...whole, sequence: { ...whole.sequence, steps: whole.sequence.steps.filter(({ id }) => id === 'r1') } }
const entry = (change: Partial<RepairEntry>): RepairEntry => ({ part: 'R1', pin: null, action: 'replaced', to: null, fitted: null, by: 'M. Rhys', note: '', photographs: [], ...change })
/** About as large as one may be. */
const png = Buffer.concat([Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex'), Buffer.alloc(179_000)])

describe('the work on one unit', () => {
  it('is kept with its runs, from the fault to the closed board', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, board)
    const { app, client } = await openApp(later, { dataFolder })
    const job = await client.ask('open-job', { customer: 'Greenhouse Co-operative', name: 'GC-7', received: null, conditionAsReceived: '', board: 'line-input', revision: 'A', serials: 'LI-7' })
    const { run } = await client.ask('start-of-job', { job: job.id, byEye: true })
    await expect(client.ask('log-repair', { run, entry: entry({ action: 'removed' }) })).rejects.toThrow('not ended yet')
    expect((await typeAll(client, board, { instead: { r1: '900.0' } })).result?.verdict).toBe('fail')

    await expect(client.ask('keep-photograph', { base64: Buffer.from('not a picture').toString('base64') })).rejects.toThrow('choose a JPEG or a PNG')
    await expect(client.ask('keep-photograph', { base64: '/9g=' })).rejects.toThrow('choose a JPEG or a PNG')
    await expect(client.ask('log-repair', { run, entry: entry({ action: 'removed', photographs: [{ when: 'before', sha256: 'a'.repeat(64), type: 'png' }] }) })).rejects.toThrow('not in the data folder')
    const kept = await client.ask('keep-photograph', { base64: png.toString('base64') })
    expect(readFileSync(join(dataFolder, 'pictures', `${kept.sha256}.png`))).toEqual(png)
    await client.ask('log-repair', { run, entry: entry({ part: 'D2', pin: 'anode', action: 'lifted' }) })
    const figures = { value: 120, tolerance: 0.05 }
    const judged = await client.ask('judge-substitute', { run, part: 'R1', figures })
    expect(judged.judged.find(({ what }) => what === 'tolerance')?.is).toBe('worse')
    // What it is judged to be is the app's to say, not the screen's.
    const logged = await client.ask('log-repair', { run, entry: entry({ fitted: { marking: '121', same: false, figures, judged: [], origin: { kind: 'new' } }, photographs: [{ when: 'after', ...kept }] }) })
    expect(logged.entries[1]).toMatchObject({ judged: judged.judged, photographs: [{ asset: `/pictures/${kept.sha256}.png` }] })
    await expect(client.ask('log-repair', { run, entry: entry({ part: 'D1', fitted: { marking: 'A4', same: true, figures: {}, judged: [], origin: { kind: 'donor', board: 'LI-2', test: null } } }) })).rejects.toThrow('measured alone first')

    // A loose part is a run of its own.
    const loose = await client.ask('test-donor', { run, part: 'R1', donor: 'LI-2' })
    const alone = await typeAll(client, { ...board, sequence: { ...board.sequence, steps: [{ kind: 'measure', id: 'ohms', title: 'R1', red: '1', black: '2', function: 'resistance', limits: { nominal: 120, tolerance: 0.02 }, parts: [], then: [] }] } })
    expect(alone).toMatchObject({ run: loose.run, aloneFor: run, result: { verdict: 'pass' } })
    // Its result leads back to the log of the board it is for, where it can be chosen.
    expect((await client.ask('read-repairs', { run: alone.aloneFor ?? '' })).donors).toMatchObject([{ run: loose.run, passed: true }])
    await client.ask('log-repair', { run, entry: entry({ fitted: { marking: '120', same: true, figures: {}, judged: [], origin: { kind: 'donor', board: 'LI-2', test: loose.run } } }) })

    // The anode of D2 was never soldered back.
    const blocked = await client.ask('read-repairs', { run })
    expect([blocked.state, blocked.closings.find(({ as }) => as === 'repaired')?.refusal]).toEqual(['the anode of D2 lifted', 'The board is not whole: the anode of D2 lifted. Put it back, and log that it was.'])
    await expect(client.ask('close-board', { run, as: 'repaired', because: '', by: 'M. Rhys' })).rejects.toThrow('the anode of D2 lifted')
    await client.ask('log-repair', { run, entry: entry({ part: 'D2', pin: 'anode', action: 'resoldered' }) })

    const again = await client.ask('measure-again', { run, purpose: 'affected' })
    const cooling = await typeAll(client, board, { stopAt: 'repair-cool' })
    expect(cooling.steps.find(({ id }) => id === 'r1')?.first).toBe('900.0 Ω, fail')
    await client.until('live', (live) => /^cooling: [0-4]:\d\d min$/.test(live.state))
    await client.ask('skip', { reason: 'cooled with air', step: 'repair-cool' })
    expect((await typeAll(client, board)).result).toMatchObject({ verdict: 'pass', because: expect.stringContaining('The wait for the board to cool was skipped: cooled with air.') as string })
    await expect(client.ask('board-report', { run })).rejects.toThrow('not closed yet')
    const closed = await client.ask('close-board', { run, as: 'repaired', because: '', by: 'M. Rhys' })
    expect(closed).toMatchObject({ run: again.run, closed: { as: 'repaired', by: 'M. Rhys' }, runs: [{ verdict: 'fail', purpose: 'first' }, { verdict: 'pass', purpose: 'affected' }] })
    expect(closed.values).toMatchObject([{ id: 'r1', made: [{ value: '900.0 Ω', verdict: 'fail' }, { value: '120.00 Ω', verdict: 'pass' }] }])
    // Its job tells of the latest run.
    expect(await client.ask('read-job', { job: job.id })).toMatchObject({ done: 1, units: [{ serialNumber: 'LI-7', run: again.run, state: 'pass' }] })
    const { name, path } = await client.ask('board-report', { run })
    expect(name).toMatch(/^probewright_line-input_A_LI-7_.*\.report\.pdf$/)
    const { origin, hash } = new URL(app.address)
    const page = Buffer.from(await (await fetch(`${origin}${path}?token=${hash.slice(1)}`)).arrayBuffer())
    if (popplerIsHere) {
      expect(textOf(page)).toMatch(/Repaired[\s\S]*What was done[\s\S]*D2[\s\S]*R1[\s\S]*Last run/)
      expect(infoOf(page)['Pages']).toBe('1')
    }

    await app.close()
    const { client: anew } = await openApp(later, { dataFolder })
    expect(await anew.ask('read-repairs', { run })).toEqual(closed)
  }, 60_000)

  it('serves the photographs of every run of the unit, after a restart too, once its log is read', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, board)
    const { app, client } = await openApp(later, { dataFolder })
    const { run } = await client.ask('start-run', { board: 'line-input', revision: 'A', serialNumber: 'LI-8', byEye: true })
    await typeAll(client, board, { instead: { r1: '900.0' } })
    const pictures = [png, Buffer.concat([png, Buffer.from([1])])]
    const photographs: RepairEntry['photographs'] = []
    for (const bytes of pictures) photographs.push({ when: 'after', ...await client.ask('keep-photograph', { base64: bytes.toString('base64') }) })
    const { entries } = await client.ask('log-repair', { run, entry: entry({ action: 'removed', photographs: photographs.slice(0, 1) }) })
    // A run further it belongs to what was done before, and a second one is logged behind it.
    await client.ask('measure-again', { run, purpose: 'whole' })
    await client.ask('end', { reason: 'seen enough' })
    expect((await client.ask('read-repairs', { run })).before).toMatchObject([{ part: 'R1', photographs: entries[0]?.photographs }])
    const logged = await client.ask('log-repair', { run, entry: entry({ part: 'D2', pin: 'anode', action: 'lifted', photographs: photographs.slice(1) }) })
    await app.close()
    const { app: reopened, client: anew } = await openApp(later, { dataFolder })
    const shown = await anew.ask('read-repairs', { run })
    expect(shown).toEqual(logged)
    const { origin, hash } = new URL(reopened.address)
    const assets = [...shown.before, ...shown.entries].flatMap(({ photographs: each }) => each)
    for (const [at, { asset }] of assets.entries()) {
      const served = await fetch(`${origin}${asset}?token=${hash.slice(1)}`)
      expect([served.status, Buffer.from(await served.arrayBuffer()).equals(pictures[at] ?? png)]).toEqual([200, true])
    }
    expect(assets).toHaveLength(2)
  }, 60_000)
})
