/** A run through the service that ends beyond repair by a computed limit, clamps lifted and terminator open; and one where the link was left in. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { lineInput } from '../bench-tools/lifted-board'
import { openApp, openDataFolder } from '../bench-tools/opened'
import { putBoard } from '../bench-tools/small-board'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()

describe('beyond repair by a rule of the board type', () => {
  it('under a computed limit with everything lifted that the rule asks for', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, lineInput())
    const { client } = await openApp(later, { dataFolder })
    const { run } = await client.ask('start-run', { board: 'line-input', revision: 'A', serialNumber: 'LI-1', byEye: true })
    await client.until('bench', (bench) => /, computed$/.test(bench?.steps.find(({ id }) => id === 'pair')?.limits ?? ''))
    const atPair = await typeAll(client, lineInput(), { stopAt: 'pair' })
    expect(atPair.step?.where).toContain('Counts towards “beyond repair” only with the anode of D1 lifted, the anode of D2 lifted and JP1 removed: so it is.')
    const ended = await typeAll(client, lineInput(), { instead: { pair: '900.0' } })
    expect(ended.result).toMatchObject({ verdict: 'beyond-repair', because: expect.stringContaining('Limits computed for a good board') as string })
    expect((await client.ask('read-run', { run })).head.verdict).toBe('beyond-repair')
  }, 60_000)

  it('with the link left in it is not judged, and says which step takes it out', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, lineInput([18_000, 31_000]))
    const { client } = await openApp(later, { dataFolder })
    const board = lineInput([18_000, 31_000])
    await client.ask('start-run', { board: 'line-input', revision: 'A', serialNumber: 'LI-2', byEye: true })
    await typeAll(client, board, { stopAt: 'open' })
    await client.ask('skip', { reason: 'cannot reach it', step: 'open' })
    const atPair = await client.until('bench', (bench) => bench?.step?.id === 'pair')
    expect([atPair?.step?.typed, atPair?.step?.where]).toEqual([null, expect.stringContaining('Do “Open the terminator” (Pull JP1), then press Space') as string])
    // The hand presses where nothing is typed: so it is done.
    expect((await typeAll(client, board, { instead: { pair: '900.0' } })).result?.verdict).toBe('beyond-repair')
  }, 60_000)
})
