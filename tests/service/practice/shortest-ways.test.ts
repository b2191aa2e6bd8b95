/** The shortest way from the worker: known, or known not to be had; never missing without a word. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { createShortestWays } from '../../../src-main/service/practice/shortest-ways'
import { createThread } from '../../../src-main/service/threads'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { root } from '../../bench-tools/running-app'
import { sampleBoard } from '../../core/circuit/sample'

const later = closeAfterEach()
const board = sampleBoard()

const workerOf = (source: string): string => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-worker-'))
  later(() => { rmSync(folder, { recursive: true, force: true }) })
  writeFileSync(join(folder, 'worker.mjs'), source)
  return join(folder, 'worker.mjs')
}

const opened = (file: string) => {
  const seen = { found: 0, reported: 0 }
  const report = (): void => { seen.reported += 1 }
  const thread = createThread(file, report)
  const ways = createShortestWays(thread, () => { seen.found += 1 }, report)
  later(() => {
    ways.close()
    thread.close()
  })
  return { ways, seen }
}

describe('the shortest way', () => {
  it('is found by the built worker, for the bench and for Records', async () => {
    const { ways, seen } = opened(join(root, 'out/main/worker.js'))
    expect(ways.known('one')).toBe('sought')
    expect(ways.of('one', board, ['R4:open'])).toBe('sought')
    const way = await ways.find('one', board, ['R4:open'])
    expect(way).toMatchObject({ shows: true })
    expect([ways.of('one', board, ['R4:open']), ways.known('one'), seen.found]).toEqual([way, way, 1])
  })

  it.each([
    ['throws', "import { parentPort } from 'node:worker_threads'; parentPort.on('message', () => { throw new Error('no') })"],
    ['ends without a word', "import { parentPort } from 'node:worker_threads'; parentPort.on('message', () => { process.exit(0) })"],
  ])('of a worker that %s is said to have failed, and is tried again when it is read later', async (_how, source) => {
    const { ways, seen } = opened(workerOf(source))
    expect(ways.of('one', board, [])).toBe('sought')
    await expect.poll(() => seen.found, { timeout: 20_000 }).toBe(1)
    expect(ways.of('one', board, [])).toBe('failed')
    expect(await ways.find('one', board, [])).toBe('failed')
    expect(seen).toEqual({ found: 2, reported: 2 })
  })
})
