/** An instrument that says it is another than it was taken for: nothing is begun with it, so that no value is kept as the other’s. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { putInstrumentOn } from '../bench-tools/instrument-on-port'
import { openApp } from '../bench-tools/opened'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'

const later = closeAfterEach()
const habits = { answerSeconds: 0.005, readSeconds: 0.03 }

describe.skipIf(!socatIsHere)('a meter whose own reply speaks against it', () => {
  it('starts no board, no check and no fit until the right one is connected', async () => {
    const pair = await openPtyPair()
    later(() => pair.close())
    const first = await putInstrumentOn(pair.meterEnd, { identity: 'Our own bench,Trainer,7,2', ...habits }, () => 1)
    const { client } = await openApp(later)
    await client.ask('connect', { path: pair.appEnd, description: 'SCPI meter', name: 'Bench 7' })
    const { library: { meters: [meter], boards: [board] } } = await client.ask('hello', {})
    if (meter === undefined || board === undefined) throw new Error('no meter or board')
    await client.until('link', (link) => link.identification !== null, 10_000)
    await client.ask('confirm-meter', { meter: meter.id })
    await client.ask('disconnect', {})
    await first.stop()
    const second = await putInstrumentOn(pair.meterEnd, { identity: 'Our own bench,Trainer,8,2', ...habits }, () => 1)
    later(() => second.stop())
    await client.ask('connect', { path: pair.appEnd, description: 'SCPI meter', meter: meter.id })
    await client.until('identity', (said) => said?.contradicted === true, 10_000)
    const begin = { board: board.board.id, revision: board.revision, serialNumber: 'VD-9' }
    await expect(client.ask('start-run', begin)).rejects.toThrow(/^This is another meter than Bench 7/)
    await expect(client.ask('check-meter', {})).rejects.toThrow(/^This is another meter than Bench 7/)
    await expect(client.ask('fit-source', {})).rejects.toThrow(/^This is another meter than Bench 7/)
    expect((await client.ask('hello', {})).bench).toBeNull()
  })
})
