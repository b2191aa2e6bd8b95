/** The next board behind one of a job: the one that waits comes, in its job, whatever the board before came to. */
import { describe, expect, it } from 'vitest'
import { nextBoardAfterSeconds } from '../../../src-core/run/next-board'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { lineInput } from '../../bench-tools/lifted-board'
import { openApp, openDataFolder } from '../../bench-tools/opened'
import { putBoard } from '../../bench-tools/small-board'
import { typeAll } from '../../bench-tools/typing-hand'

const later = closeAfterEach()
const whole = lineInput([18_000, 31_000])
const board = { ...whole, sequence: { ...whole.sequence, steps: whole.sequence.steps.filter(({ id }) => id === 'r1') } }
const aWhile = () => new Promise((resolve) => { setTimeout(resolve, nextBoardAfterSeconds * 1000 + 100) })

describe('behind a board of a job', () => {
  it('the next one that waits is started in it, or one by its serial number; another is started outside, and it is said', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, board)
    const { client } = await openApp(later, { dataFolder })
    const { id: job } = await client.ask('open-job', { customer: '', name: 'B-17', received: null, conditionAsReceived: '', board: 'line-input', revision: 'A', serials: 'LI-1\nLI-2\nLI-3\nLI-4' })
    const states = async () => (await client.ask('read-job', { job })).units.map(({ serialNumber, state }) => `${serialNumber} ${state}`)
    const next = async () => (await client.ask('next-of-job', {})).next
    await client.ask('start-of-job', { job, byEye: true })
    await typeAll(client, board, { instead: { r1: '900.0' } })
    expect(await next()).toMatchObject({ job: 'B-17', unit: { serialNumber: 'LI-2' }, at: 2, of: 4, waiting: ['LI-2', 'LI-3', 'LI-4'] })

    // One key, no serial number typed, behind a board that failed.
    await aWhile()
    await client.ask('next-board', { serialNumber: '' })
    expect(client.last('bench')?.serialNumber).toBe('LI-2')
    expect(await states()).toEqual(['LI-1 fail', 'LI-2 under-way', 'LI-3 waiting', 'LI-4 waiting'])
    await typeAll(client, board)
    await aWhile()
    await client.ask('next-board', { serialNumber: 'LI-4' })
    expect(await states()).toEqual(['LI-1 fail', 'LI-2 pass', 'LI-3 waiting', 'LI-4 under-way'])
    await typeAll(client, board)

    // Paused, its boards wait.
    await client.ask('change-job', { job, paused: true })
    expect(await next()).toBeNull()
    await client.ask('change-job', { job, paused: false })
    expect(await next()).toMatchObject({ unit: { serialNumber: 'LI-3' }, at: 3, waiting: ['LI-3'] })
    await aWhile()
    await client.ask('next-board', { serialNumber: 'LI-9' })
    expect(client.last('message')?.text).toBe('LI-9 does not wait in B-17: this run is of no job.')
    expect(await states()).toEqual(['LI-1 fail', 'LI-2 pass', 'LI-3 waiting', 'LI-4 pass'])
    expect([client.last('bench')?.serialNumber, await next()]).toEqual(['LI-9', null])
  }, 120_000)
})
