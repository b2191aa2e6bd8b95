/** A worker that is asked one question after another, and may die over one. */
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import type { Bench } from '../../src-core/run/bench'
import { createAsking } from '../../src-main/service/asking'
import { createThread } from '../../src-main/service/threads'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openDataFolder } from '../bench-tools/opened'

const later = closeAfterEach()

type Question = { key: string }
type Answer = { key: string; asked: number }

/** Answers with how many questions it has had; dies over one whose key begins with "deadly". */
const worker = `
import { parentPort } from 'node:worker_threads'
let asked = 0
parentPort.on('message', ({ of: { key } }) => {
  asked += 1
  if (key.startsWith('deadly')) process.exit(1)
  parentPort.postMessage({ answer: { key, asked } })
})
`

const openAsking = (keeps = 10): { asking: ReturnType<typeof createAsking<Question, Answer>>; told: Answer[]; settled: () => number; reported: unknown[] } => {
  const file = join(openDataFolder(later), 'worker.mjs')
  writeFileSync(file, worker)
  const told: Answer[] = []
  const reported: unknown[] = []
  let settled = 0
  // The bench is only handed on to `by`: here it is the key itself.
  const report = (error: unknown): void => { reported.push(error) }
  const thread = createThread(file, report)
  const asking = createAsking<Question, Answer>(thread, {
    work: 'compute-limits', by: (bench) => ({ key: String(bench) }), tell: (answer) => { told.push(answer) }, settled: () => { settled += 1 }, keeps,
  }, report)
  later(() => {
    asking.close()
    thread.close()
  })
  return { asking, told, settled: () => settled, reported }
}
const benchAsking = (key: string): Bench => key as unknown as Bench

describe('asking the worker', () => {
  it('tells the bench what it asked for, before what only a list asks for', async () => {
    const { asking, told } = openAsking()
    for (const key of ['a', 'b', 'c']) expect(asking.known({ key })).toBeNull()
    asking.look(benchAsking('wanted'))
    await expect.poll(() => told.map(({ key }) => key)).toEqual(['wanted'])
    // "a" was under way already.
    expect(told[0]?.asked).toBe(2)
  })

  it('says once that all is answered, and forgets the oldest answers without asking for them again', async () => {
    const { asking, settled } = openAsking(2)
    for (const key of ['a', 'b', 'c']) asking.known({ key })
    await expect.poll(settled).toBe(1)
    expect([asking.known({ key: 'c' }) !== null, asking.known({ key: 'b' }) !== null]).toEqual([true, true])
  })

  it('gives a question that a worker dies over to a second one, then tells nothing; the others are answered', async () => {
    const { asking, told, reported } = openAsking()
    asking.look(benchAsking('deadly'))
    asking.known({ key: 'other' })
    await expect.poll(() => asking.known({ key: 'other' })).toMatchObject({ key: 'other' })
    expect(told).toEqual([])
    expect(reported).toEqual([new Error('The worker ended with 1 before it was done.'), new Error('The worker ended with 1 before it was done.')])
    expect(asking.known({ key: 'deadly' })).toBeNull()
  })

  it('asks again what a worker died over when the bench comes back to it', async () => {
    const { asking, told } = openAsking()
    asking.look(benchAsking('deadly'))
    asking.known({ key: 'other' })
    await expect.poll(() => asking.known({ key: 'other' })).not.toBeNull()
    asking.look(benchAsking('sound'))
    await expect.poll(() => told.map(({ key }) => key)).toEqual(['sound'])
    // Died over twice: the third worker was the first to answer.
    expect(told[0]?.asked).toBe(2)
  })
})
