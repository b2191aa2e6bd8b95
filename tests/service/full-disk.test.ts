/** A full disk: what could not be written is not shown as recorded, the app stays up, and the run goes on when there is room. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, statfsSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import type { EventPayload } from '../../src-core/contract'
import { closeAfterEach } from '../bench-tools/close-after-each'
import type { Later } from '../bench-tools/closers'
import { openApp } from '../bench-tools/opened'

/** A file system of 2 MiB in memory; null where this account may not mount one. */
const smallDisk = (later: Later): string | null => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-full-'))
  const mounted = process.platform === 'linux' && spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=2m', 'tmpfs', folder]).status === 0
  later(() => {
    if (mounted) spawnSync('umount', ['-l', folder])
    rmSync(folder, { recursive: true, force: true })
  })
  return mounted ? folder : null
}

const mayMount = ((): boolean => {
  let close: () => unknown = () => undefined
  const folder = smallDisk((closing) => { close = closing })
  close()
  return folder !== null
})()
if (!mayMount) process.stdout.write('Skipped: this account may not mount a tmpfs, so the tests of a full disk are skipped. Run them as root on Linux.\n')

const valuesShown = (bench: EventPayload<'bench'> | undefined): number => bench?.steps.filter((step) => step.value !== '').length ?? 0

const later = closeAfterEach()

describe.skipIf(!mayMount)(`a full disk${mayMount ? '' : ' (skipped: no tmpfs can be mounted here)'}`, () => {
  it('is said in a sentence, loses nothing, and records again once there is room', async () => {
    const folder = smallDisk(later)
    if (folder === null) throw new Error('a tmpfs could be mounted a moment ago, and now cannot')
    const { app, client } = await openApp(later, { dataFolder: folder })
    await client.ask('start-practice', { seed: 5 })
    await client.until('bench', (bench) => bench?.steps.some((step) => step.verdict !== null) === true)
    const ballast = join(folder, 'ballast')
    const { bavail, bsize } = statfsSync(folder)
    writeFileSync(ballast, Buffer.alloc(Math.max(0, bavail) * bsize))
    const told = await client.until('message', (message) => message.kind === 'problem' && /Not recorded/.test(message.text), 60_000)
    expect(told.text).toMatch(/disk is full/)
    expect(told.text).toMatch(/Make room in the data folder/)
    const shown = valuesShown(client.last('bench'))
    await new Promise((resolve) => { setTimeout(resolve, 1500) })
    expect(valuesShown(client.last('bench'))).toBe(shown)
    expect(app.process.exitCode).toBeNull()
    rmSync(ballast)
    await client.until('bench', (bench) => valuesShown(bench) > shown + 1, 60_000)
  })
})
