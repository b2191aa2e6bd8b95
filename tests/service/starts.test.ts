/** What may come onto the bench, and with which meter. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openClient, type ContractClient } from '../bench-tools/contract-client'
import { openPtyPair, socatIsHere, type PtyPair } from '../bench-tools/pty-pair'
import { startApp, type RunningApp } from '../bench-tools/running-app'

const board = { board: 'vent-driver-node', revision: 'C' }
const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })

describe.skipIf(!socatIsHere)('practice and real meters do not mix', () => {
  let pair: PtyPair
  let app: RunningApp
  let client: ContractClient
  beforeAll(async () => {
    pair = await openPtyPair()
    app = await startApp()
    client = await openClient(app.address)
  })
  afterAll(async () => {
    client.close()
    await app.close()
    await pair.close()
  })

  it('a failed connection leaves no meter in use: no run starts on it', async () => {
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A' })
    await expect(client.ask('connect', { path: '/dev/none', description: 'Line meter A' })).rejects.toThrow(/There is no port/)
    await expect(client.ask('start-run', { ...board, serialNumber: 'X' })).rejects.toThrow(/No meter is connected/)
  })

  it('a meter connected without being named is a new one, whatever its port', async () => {
    const before = (await client.ask('hello', {})).library.meters.length
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A', name: 'Second' })
    const { meters } = (await client.ask('hello', {})).library
    expect(meters.length).toBe(before + 1)
    expect(new Set(meters.map((meter) => meter.id)).size).toBe(meters.length)
  })

  it('no simulated value reaches a real run that is taken up after practice', async () => {
    const { run } = await client.ask('start-run', { ...board, serialNumber: 'REAL-1' })
    await client.ask('close-run', {})
    await client.ask('start-practice', { seed: 1 })
    await client.until('bench', (bench) => bench?.steps.some((step) => step.verdict !== null) === true, 30_000)
    await client.ask('end', { reason: 'enough' })
    await client.ask('open-run', { run })
    await client.until('bench', (bench) => bench?.run === run)
    await pause(6000)
    const bench = client.last('bench')
    expect(bench?.practice).toBe(false)
    expect(bench?.steps.filter((step) => step.value !== '')).toEqual([])
    expect(client.last('link')?.status).toBe('closed')
    await client.ask('close-run', {})
  })

  it('connecting a meter puts a practice run aside', async () => {
    const { run } = await client.ask('start-practice', { seed: 2 })
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A' })
    const state = await client.ask('hello', {})
    expect(state.bench).toBeNull()
    expect(state.link.status).toBe('open')
    const { runs } = await client.ask('list-runs', {})
    expect(runs.find((each) => each.run === run)?.verdict).toBeNull()
  })

  it('a note or a press with nothing on the bench is refused in words', async () => {
    await expect(client.ask('note', { text: 'lost?' })).rejects.toThrow(/no run on the bench/)
    await expect(client.ask('press', { key: 'confirm' })).rejects.toThrow(/no run on the bench/)
  })

  it('an end by a slip of the finger is taken back alone', async () => {
    const { run } = await client.ask('start-run', { ...board, serialNumber: 'REAL-2' })
    await client.ask('end', { reason: 'slip' })
    await client.until('bench', (bench) => bench?.run === run && bench.result !== null)
    await client.ask('press', { key: 'back' })
    const bench = await client.until('bench', (each) => each?.run === run && each.result === null)
    expect(bench?.status).toBe('running')
  })
})
