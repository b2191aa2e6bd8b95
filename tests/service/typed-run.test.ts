/** Runs with no meter connected: every value typed, from the first check to the verdict, and from one board to the next. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import type { ContractClient } from '../bench-tools/contract-client'
import { openApp, openDataFolder } from '../bench-tools/opened'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'
import { typeAll } from '../bench-tools/typing-hand'
import type { BoardType } from '../../src-core/board/board-type'
import { nextBoardAfterSeconds } from '../../src-core/run/next-board'

const later = closeAfterEach()
const endIsSeen = (): Promise<void> => new Promise((resolve) => { setTimeout(resolve, nextBoardAfterSeconds * 1000 + 50) })
const sample = async (client: ContractClient): Promise<BoardType> => {
  const found = (await client.ask('hello', {})).library.boards.find(({ id, revision }) => id === 'vent-driver-node' && revision === 'C')
  if (found === undefined) throw new Error('the sample board is missing')
  return found.board
}

describe('a run with typed values', () => {
  it('reaches its verdict, which names them; the next board goes on with the same checks', async () => {
    const { client } = await openApp(later)
    const board = await sample(client)
    const { run } = await client.ask('start-run', { board: board.id, revision: board.revision, serialNumber: 'VD-77', byEye: true })
    // A press too many, as soon as the verdict comes up: it was meant for the last value, and starts no board.
    let tooSoon: Promise<unknown> | null = null
    client.on('bench', (bench) => { if (bench?.run === run && bench.result !== null) tooSoon ??= client.ask('next-board', { serialNumber: '' }).then(() => 'started', (error: Error) => error.message) })
    const ended = await typeAll(client, board)
    expect(await tooSoon).toMatch(/only just come up, so no board was started/)
    expect(ended.result).toMatchObject({ verdict: 'pass', because: expect.stringContaining('Every value was read by eye and typed in.') as string })
    expect(ended.steps.filter(({ kind, preparation }) => kind === 'measure' && !preparation).every(({ evidence }) => evidence === 'typed')).toBe(true)
    // Each figure is kept with its budget, and what it assumes is said.
    const measured = (await client.ask('read-run', { run })).steps.flatMap(({ values }) => values)
    const figures = measured.filter(({ si, limits }) => typeof si === 'number' && limits !== 'open')
    expect(figures.length).toBeGreaterThan(5)
    for (const { budget, words } of figures) expect([words, budget?.rows.map(({ what }) => what).slice(0, 3)]).toEqual([words, ['repeatability', 'resolution', 'accuracy of the meter']])
    expect((await client.ask('hello', {})).bench?.run).toBe(run)
    await endIsSeen()
    const next = await client.ask('next-board', { serialNumber: 'VD-78' })
    expect(next.run).not.toBe(run)
    await client.until('message', (message) => message.text.startsWith('Taken for revision C. Beside terminal B lies R3'))
    // Jacks and leads were checked minutes ago on this bench: the next board begins with what is its own.
    expect((await client.ask('hello', {})).bench).toMatchObject({ byEye: true, serialNumber: 'VD-78', step: { id: 'prepare/disconnect' } })
    expect((await client.ask('hello', {})).library.meters).toEqual([])
    await client.ask('end', { reason: 'rev D lies here' })
    await endIsSeen()
    await client.ask('next-board', { serialNumber: 'VD-78', revision: 'D' })
    expect((await client.ask('hello', {})).bench).toMatchObject({ byEye: true, board: { revision: 'D' }, step: { id: 'prepare/disconnect' } })
    await client.ask('end', { reason: 'enough' })
    await endIsSeen()
    await expect(client.ask('next-board', { serialNumber: '', revision: 'Q' })).rejects.toThrow(/no board type vent-driver-node revision Q/)
  })

  it('after the app was killed it is taken up again, typed values and all, and has the board proven anew', async () => {
    const dataFolder = openDataFolder(later)
    const first = await openApp(later, { dataFolder })
    const board = await sample(first.client)
    const { run } = await first.client.ask('start-run', { board: board.id, revision: board.revision, serialNumber: 'VD-79', byEye: true })
    await typeAll(first.client, board, { stopAt: 'supply-pair' })
    await first.client.ask('type-value', { text: '5.50 k', step: 'supply-pair', touch: 1 })
    await first.app.kill()
    const second = await openApp(later, { dataFolder })
    await second.client.ask('open-run', { run })
    const bench = (await second.client.ask('hello', {})).bench
    expect(bench?.steps.find(({ id }) => id === 'supply-pair')).toMatchObject({ value: '5.50 kΩ', verdict: 'pass', evidence: 'typed' })
    expect(bench?.byEye).toBe(true)
    expect(bench?.step?.id).toMatch(/^prepare\//)
    expect((await typeAll(second.client, board)).result?.verdict).toBe('pass')
  })

  it.skipIf(!socatIsHere)('is refused beside a connected meter, and begins when the meter of a run is gone', async () => {
    const pair = await openPtyPair()
    later(() => pair.close())
    const { client } = await openApp(later)
    const board = await sample(client)
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A' })
    await expect(client.ask('start-run', { board: board.id, revision: board.revision, serialNumber: '', byEye: true })).rejects.toThrow(/A meter is connected/)
    await client.ask('start-run', { board: board.id, revision: board.revision, serialNumber: '' })
    await expect(client.ask('type-value', { text: '0.581', step: 'prepare/known-diode', touch: 1 })).rejects.toThrow(/reads its meter/)
    await expect(client.ask('read-by-eye', {})).rejects.toThrow(/The meter is there/)
    await client.ask('disconnect', {})
    await client.until('bench', (bench) => bench?.keys.some(({ action }) => action === 'by-eye') === true)
    await client.ask('read-by-eye', {})
    expect((await client.ask('hello', {})).bench).toMatchObject({ byEye: true, step: { id: 'prepare/leads-apart/diode', typed: { unit: 'V', touch: 1 } } })
    await client.ask('type-value', { text: 'OL', step: 'prepare/leads-apart/diode', touch: 1 })
    // A meter that is connected takes the run over, as another meter, and the proof is made with it.
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A' })
    expect((await client.ask('hello', {})).bench).toMatchObject({ byEye: false, step: { id: 'prepare/leads-apart/diode', typed: null } })
    // Each value says where it came from.
    const { run } = (await client.ask('hello', {})).bench ?? { run: '' }
    const { head, steps, events } = await client.ask('read-run', { run })
    expect(head.meter).toBe('read by eye')
    expect(steps.flatMap(({ values }) => values.map(({ meter }) => meter))).toEqual(['read by eye'])
    expect(events.map(({ words }) => words).filter((words) => /by eye|Meter back/.test(words))).toEqual([
      'From here on the values are read by eye and typed.', expect.stringMatching(/^Meter back, another one: Line meter A on .+\.$/),
    ])
  })

  it('nothing that was practised lets a real board skip its checks', async () => {
    const { client } = await openApp(later)
    await client.ask('start-practice', { seed: 1, by: 'hand' })
    await client.ask('disconnect', {})
    await expect(client.ask('read-by-eye', {})).rejects.toThrow(/practice run/)
    await client.ask('end', { reason: 'enough' })
    await endIsSeen()
    await client.ask('next-board', { serialNumber: 'VD-9' })
    expect((await client.ask('hello', {})).bench?.practice).toBe(true)
  })
})
