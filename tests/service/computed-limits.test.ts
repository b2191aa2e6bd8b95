/** Steps without limits through the service: the worker computes them, the run keeps them, a fault is judged fail, and Boards shows them. */
import { cpSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openApp, openDataFolder } from '../bench-tools/opened'
import { root } from '../bench-tools/running-app'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()
const stepIds = ['r2', 'd2-forward', 'r4']

const withFrostSensor = async () => {
  const dataFolder = openDataFolder(later)
  cpSync(join(root, 'fixtures/more-boards/frost-sensor'), join(dataFolder, 'boards/frost-sensor'), { recursive: true })
  const { client } = await openApp(later, { dataFolder })
  // Asked for what there is, the app sets its worker to them, and tells when they are known.
  expect((await client.ask('hello', {})).library.boards.find(({ id }) => id === 'frost-sensor')?.computed.r4?.limits).toBe('being computed')
  const library = await client.until('library', ({ boards }) => /, computed$/.test(boards.find(({ id }) => id === 'frost-sensor')?.computed.r4?.limits ?? ''))
  const entry = library.boards.find(({ id }) => id === 'frost-sensor')
  if (entry === undefined) throw new Error('the board is missing')
  return { client, entry }
}

describe('a board with steps without limits', () => {
  it('is shown with computed ones, plays to a pass, and its run and record keep where they came from', async () => {
    const { client, entry } = await withFrostSensor()
    expect(Object.keys(entry.computed)).toEqual(stepIds)
    expect(entry.computed['d2-forward']?.says).toMatch(/^Limits computed: a good board reads 0\.24\d V \(a typical meter source, 15 °C to 35 °C\)\.$/)
    const { run } = await client.ask('start-run', { board: 'frost-sensor', revision: entry.revision, serialNumber: 'FS-1', byEye: true })
    await client.until('bench', (bench) => bench?.steps.find(({ id }) => id === 'r4')?.limits === entry.computed.r4?.limits)
    const ended = await typeAll(client, entry.board, { instead: { r2: '7.10 k', 'd2-forward': '0.249', r4: '7.60 k' } })
    expect(ended.result).toMatchObject({ verdict: 'pass', because: expect.stringContaining('Limits computed for a good board, with a typical meter source, 15 °C to 35 °C: R2 feed; D2 forward; R4 feed.') as string })
    const { steps, events } = await client.ask('read-run', { run })
    for (const id of stepIds) expect(steps.find((step) => step.id === id)?.values.map(({ limits, verdict }) => [limits, verdict])).toEqual([[entry.computed[id]?.limits, 'pass']])
    expect(events.filter(({ words }) => words.startsWith('Limits computed'))).toHaveLength(1)
  }, 60_000)

  it('judges a fault fail', async () => {
    const { client, entry } = await withFrostSensor()
    await client.ask('start-run', { board: 'frost-sensor', revision: entry.revision, serialNumber: 'FS-2', byEye: true })
    await client.until('bench', (bench) => /, computed$/.test(bench?.steps.find(({ id }) => id === 'r4')?.limits ?? ''))
    // Only the diode inside U1 conducts where D2 is open.
    const ended = await typeAll(client, entry.board, { instead: { r2: '7.10 k', 'd2-forward': '0.655', r4: '7.60 k' } })
    expect(ended.result).toMatchObject({ verdict: 'fail', failed: [{ step: 'd2-forward', limits: entry.computed['d2-forward']?.limits }] })
    expect(ended.result?.because).toContain('Outside limits: D2 forward. Limits computed for a good board')
  }, 60_000)

  it('is practised byte by byte: a good one passes, a hidden fault fails at a computed limit', async () => {
    const { practise } = await import('./practice/practise')
    const { entry } = await withFrostSensor()
    const verdict = (faults: string[]): unknown[] => {
      const { bench: { run }, refusals } = practise(faults, 5, undefined, undefined, entry.board)
      return [run.ended?.verdict, Object.entries(run.steps).flatMap(([id, { decided }]) => (decided?.verdict === 'fail' ? [id] : [])), refusals]
    }
    expect(verdict([])).toEqual(['pass', [], []])
    expect(verdict(['D2:open'])).toEqual(['fail', ['d2-forward'], []])
  }, 60_000)
})
