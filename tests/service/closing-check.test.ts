/** The closing check of a session: leads and known source once more; a miss marks the runs since the last good one. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openClient, type ContractClient } from '../bench-tools/contract-client'
import { openPtyPair, socatIsHere, type PtyPair } from '../bench-tools/pty-pair'
import { startApp, type RunningApp } from '../bench-tools/running-app'
import { startScriptedHand } from '../bench-tools/scripted-hand'

describe.skipIf(!socatIsHere)('the closing check', () => {
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

  it('a known source that is missed puts its note on the run before', async () => {
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A' })
    const board = (await client.ask('hello', {})).library.boards[0]?.board
    if (board === undefined) throw new Error('the sample board is missing')
    const { run } = await client.ask('start-run', { board: board.id, revision: board.revision, serialNumber: 'VD-1' })
    const hand = startScriptedHand({ board, faults: [], seed: 3, client, write: pair.write, press: (key) => { void client.ask('press', { key }) } })
    await client.until('bench', (bench) => bench?.steps.some((step) => !step.preparation && step.kind === 'measure' && step.verdict !== null) === true, 90_000)
    await client.ask('end', { reason: 'end of the day' })
    hand.stop()
    await client.ask('close-run', {})

    const closing = await client.ask('closing-check', {})
    await client.until('bench', (bench) => bench?.run === closing.run && bench.step?.fixture === 'leads-joined')
    const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })
    const stream = async (lines: string[], count: number): Promise<void> => {
      for (let k = 0; k < count; k += 1) { pair.write(`${lines[k % lines.length] ?? ''}\r\n`); await pause(150) }
    }
    await stream(['RES OL MOhm A'], 8)
    await stream(['RES 0.2 Ohm A', 'RES 0.3 Ohm A'], 20)
    await stream(['RES OL MOhm A'], 8)
    await client.until('bench', (bench) => bench?.step?.fixture === 'known-source')
    // The cell is not there: two touches that read 0.3 V instead of 1.5 V.
    for (let touch = 0; touch < 2; touch += 1) {
      await stream(['DCV 0.000 V A', 'DCV 0.001 V A'], 8)
      await stream(['DCV 301.2 mV A', 'DCV 301.3 mV A'], 20)
    }
    await client.until('bench', (bench) => bench?.run === closing.run && bench.result !== null, 20_000)
    expect(client.last('bench')?.result?.verdict).toBe('fail')
    await client.ask('close-run', {})
    await client.ask('open-run', { run })
    const opened = await client.until('bench', (bench) => bench?.run === run)
    expect(opened?.notes.join(' ')).toMatch(/known source was missed.*in doubt/)
  })
})
