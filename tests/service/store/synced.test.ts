/** Every commit is on the disk before it counts: the built app, watched at its system calls while it plays. */
import { spawn, spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { openClient } from '../../bench-tools/contract-client'
import { root } from '../../bench-tools/running-app'
import { openRunStore } from '../../../src-main/service/store/run-store'
import { openStoreFile } from '../../../src-main/service/store/open-store'

const straceIsHere = spawnSync('strace', ['-V'], { stdio: 'ignore' }).status === 0
const notes = 20

/** The app under strace; -D makes the app, not strace, the program that is started here. */
const playTraced = async (folder: string, trace: string): Promise<string> => {
  const app = spawn('strace', ['-D', '-f', '-y', '-o', trace, '-e', 'trace=fsync,fdatasync',
    process.execPath, join(root, 'out/main/start.js'), '--no-open', '--port', '0', '--data', join(folder, 'data')], { cwd: root, stdio: ['ignore', 'pipe', 'pipe'] })
  const ended = new Promise((resolve) => { app.once('exit', resolve) })
  try {
    const address = await new Promise<string>((resolve, reject) => {
      app.stdout.on('data', (chunk: Buffer) => { if (chunk.toString().startsWith('http')) resolve(chunk.toString().trim()) })
      app.once('exit', (code) => { reject(new Error(`The app ended with ${code} before it gave its address.`)) })
    })
    const client = await openClient(address)
    const { run } = await client.ask('start-practice', { seed: 3 })
    for (let k = 0; k < notes; k += 1) await client.ask('note', { text: `note ${k}` })
    await client.until('bench', (bench) => bench?.steps.some((step) => step.value !== '') === true)
    client.close()
    return run
  } finally {
    app.kill('SIGTERM')
    await ended
  }
}

describe('the disk', () => {
  it('is synced for every stored transaction', async (context) => {
    if (!straceIsHere) context.skip('strace is not installed: the syncs cannot be counted')
    const folder = mkdtempSync(join(tmpdir(), 'probewright-synced-'))
    try {
      const trace = join(folder, 'trace')
      const run = await playTraced(folder, trace)
      const database = openStoreFile(join(folder, 'data'))
      const events = openRunStore(database).events(run)
      database.close()
      // The events of one transaction bear one time; two transactions may share a millisecond, so this counts no more than there were.
      const moments = new Set(events.map(({ utc }) => utc)).size
      expect(events.filter(({ kind }) => kind === 'noted')).toHaveLength(notes)
      expect(moments).toBeGreaterThan(notes)
      const syncs = (): number => readFileSync(trace, 'utf8').match(/sync\(\d+<[^>]*probewright\.sqlite-wal>\)\s+= 0/g)?.length ?? 0
      await expect.poll(syncs, { timeout: 20_000 }).toBeGreaterThanOrEqual(moments)
    } finally {
      rmSync(folder, { recursive: true, force: true })
    }
  })
})
