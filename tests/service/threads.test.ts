/** A worker thread that answers one question at a time: which goes first, what became of one it failed over, and what closing does. */
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { createThread, createThreads, type Thread, type Urgency } from '../../src-main/service/threads'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openDataFolder } from '../bench-tools/opened'

const later = closeAfterEach()

/** Answers with what it was given and how many questions it has had; says that it failed, throws, ends, or never answers, where it is told to. */
const worker = `
import { parentPort } from 'node:worker_threads'
let had = 0
parentPort.on('message', ({ work, of }) => {
  had += 1
  if (of.fails) parentPort.postMessage({ failed: new Error('cannot') })
  else if (of.throws) throw new Error('out of order')
  else if (of.ends) process.exit(3)
  else if (!of.holds) parentPort.postMessage({ answer: { work, of, had } })
})
`
const opened = () => {
  const file = join(openDataFolder(later), 'worker.mjs')
  writeFileSync(file, worker)
  const reported: unknown[] = []
  const thread = createThread(file, (error) => { reported.push(error) })
  later(() => { thread.close() })
  return { file, thread, reported }
}
type Answer = { of: object; had: number }
const ask = (thread: Thread, of: object | null, urgency: Urgency = 'now', tries?: number): Promise<Answer | null> => thread.ask<Answer>({ work: 'tabulate', urgency, of: () => of, tries })

describe('a worker thread', () => {
  it('is given one question at a time, the most urgent first, each as it is by then', async () => {
    const { thread } = opened()
    let newest = 'old'
    const asked = [
      ask(thread, { is: 'first' }), ask(thread, { is: 'list' }, 'whenever'), ask(thread, { is: 'way' }, 'soon'),
      thread.ask<Answer>({ work: 'tabulate', urgency: 'now', of: () => ({ is: newest }) }), ask(thread, null), ask(thread, { is: 'seal' }),
    ]
    newest = 'new'
    expect((await Promise.all(asked)).map((each) => (each === null ? null : [each.of, each.had]))).toEqual([
      [{ is: 'first' }, 1], [{ is: 'list' }, 5], [{ is: 'way' }, 4], [{ is: 'new' }, 2], null, [{ is: 'seal' }, 3],
    ])
  })

  it.each([['fails', 'cannot', 2], ['throws', 'out of order', 1], ['ends', 'The worker ended with 3 before it was done.', 1]])('that %s tells whoever asked, and answers the next question', async (how, words, had) => {
    const { thread, reported } = opened()
    const [first, second] = await Promise.allSettled([ask(thread, { [how]: true }), ask(thread, { is: 'sound' })])
    expect(first).toMatchObject({ status: 'rejected', reason: { message: words } })
    expect(second).toMatchObject({ status: 'fulfilled', value: { had } })
    expect(reported).toEqual([])
  })

  it('is given a question as often as may be tried, ahead of the others, and reports each failure but the last, which is told', async () => {
    const { thread, reported } = opened()
    const [first, second] = await Promise.allSettled([ask(thread, { ends: true }, 'now', 3), ask(thread, { is: 'sound' })])
    expect([first?.status, second?.status]).toEqual(['rejected', 'fulfilled'])
    expect(reported.map(String)).toEqual(Array(2).fill('Error: The worker ended with 3 before it was done.'))
  })

  it('that is closed fails what was asked and what is asked from then on', async () => {
    const { thread, reported } = opened()
    const asked = [ask(thread, { is: 'under way' }), ask(thread, { is: 'waiting' })]
    thread.close()
    expect((await Promise.allSettled([...asked, ask(thread, { is: 'late' })])).map((each) => each.status === 'rejected' && String(each.reason)))
      .toEqual(Array(3).fill('Error: the app was closed meanwhile.'))
    expect(reported).toEqual([])
  })

  it('is one of two, and a long question holds up none of the quick ones', async () => {
    const { file } = opened()
    const threads = createThreads(file, () => undefined)
    later(threads.close)
    const long = ask(threads.long, { holds: true })
    expect(await ask(threads.quick, { is: 'quick' })).toMatchObject({ had: 1 })
    threads.close()
    await expect(long).rejects.toThrow('closed')
  })

  it('that is asked what cannot be handed over says so, and answers the next question', async () => {
    const { thread } = opened()
    await expect(ask(thread, { of: () => 'a function' })).rejects.toThrow('could not be cloned')
    expect(await ask(thread, { is: 'sound' })).toMatchObject({ had: 1 })
  })
})
