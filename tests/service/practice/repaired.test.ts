/** A practice board through the service: its fault found, the part replaced, measured again, shown to work, closed; the simulated hand plays. */
import { describe, expect, it } from 'vitest'
import type { RepairEntry } from '../../../src-core/repair/entry'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { openApp, openDataFolder } from '../../bench-tools/opened'
import { popplerIsHere, textOf } from '../../bench-tools/pdf-tools'
import { provenValve } from '../../bench-tools/proven-valve'
import { putBoard } from '../../bench-tools/small-board'

const later = closeAfterEach()
const replaced = (part: string): RepairEntry => ({ part, pin: null, action: 'replaced', to: null, fitted: { marking: '220R', same: true, figures: {}, judged: [], origin: { kind: 'new' } }, by: 'M. Rhys', note: '', photographs: [] })

describe('a practice board', () => {
  it('is repaired: measured again it reads as a board without that fault, and comes up under power', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, provenValve)
    const { app, client } = await openApp(later, { dataFolder })
    const ended = async (run: string) => (await client.until('bench', (bench) => bench?.run === run && bench.result !== null, 120_000))?.result?.verdict
    const { run } = await client.ask('start-practice', { board: 'mist-valve', revision: 'A', seed: 5, faults: ['R1:open'] })
    expect(await ended(run)).toBe('fail')
    await expect(client.ask('test-donor', { run, part: 'R1', donor: 'MV-2' })).rejects.toThrow('no donor board in practice')
    await client.ask('log-repair', { run, entry: replaced('R1') })
    const again = await client.ask('measure-again', { run, purpose: 'affected' })
    await client.until('bench', (bench) => bench?.step?.id === 'repair-cool', 60_000)
    await client.ask('skip', { reason: 'cooled with air', step: 'repair-cool' })
    expect(await ended(again.run)).toBe('pass')
    expect(client.last('bench')?.result?.truth).toBe('The practice board had this fault: R1 is open. It is repaired now.')
    const proof = await client.ask('measure-again', { run, purpose: 'prove' })
    expect(await ended(proof.run)).toBe('pass')
    const closed = await client.ask('close-board', { run, as: 'repaired', because: '', by: 'M. Rhys' })
    expect(closed.values.find(({ id }) => id === 'live-valve')?.made.at(-1)).toMatchObject({ verdict: 'pass' })
    const { path, name } = await client.ask('board-report', { run })
    expect(name).toMatch(/\.report\.pdf$/)
    const { origin, hash } = new URL(app.address)
    const page = Buffer.from(await (await fetch(`${origin}${path}?token=${hash.slice(1)}`)).arrayBuffer())
    if (popplerIsHere) expect(textOf(page)).toContain('Practice: this board, its faults and every value were simulated.')
  }, 300_000)
})
