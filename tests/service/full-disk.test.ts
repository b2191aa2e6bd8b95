/** A full disk: what could not be written is not shown as recorded, the app stays up, and the run goes on when there is room. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, statfsSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { openClient } from '../bench-tools/contract-client'
import { startApp } from '../bench-tools/running-app'

const folder = mkdtempSync(join(tmpdir(), 'probewright-full-'))
const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=2m', 'tmpfs', folder]).status === 0

describe.skipIf(!mounted)('a full disk', () => {
  afterAll(() => {
    spawnSync('umount', ['-l', folder])
    rmSync(folder, { recursive: true, force: true })
  })

  it('is said in a sentence, loses nothing, and records again once there is room', async () => {
    const app = await startApp([], folder)
    const client = await openClient(app.address)
    await client.ask('start-practice', { seed: 5 })
    await client.until('bench', (bench) => bench?.steps.some((step) => step.verdict !== null) === true)
    const ballast = join(folder, 'ballast')
    const { bavail, bsize } = statfsSync(folder)
    writeFileSync(ballast, Buffer.alloc(Math.max(0, bavail) * bsize))
    await client.until('message', (message) => message.kind === 'problem' && /Not recorded/.test(message.text), 60_000)
    const shown = client.last('bench')?.steps.filter((step) => step.value !== '').length ?? 0
    await new Promise((resolve) => { setTimeout(resolve, 1500) })
    expect(client.last('bench')?.steps.filter((step) => step.value !== '').length).toBe(shown)
    expect(app.process.exitCode).toBeNull()
    rmSync(ballast)
    await client.until('bench', (bench) => (bench?.steps.filter((step) => step.value !== '').length ?? 0) > shown + 1, 60_000)
    client.close()
    await app.close()
  }, 150_000)
})
