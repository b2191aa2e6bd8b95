/** The diagnosis of the run on the bench, from the worker: the newest wins, what no longer holds is dropped, and a failure is said. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { createDiagnosing } from '../../src-main/service/diagnosing'
import { createThread } from '../../src-main/service/threads'
import type { Bench } from '../../src-core/run/bench'
import type { DiagnosisView } from '../../src-core/run/diagnosis-view'
import type { Proposed } from '../../src-core/run/propose'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { root } from '../bench-tools/running-app'
import { play, type Play } from '../core/run/a-run'

const later = closeAfterEach()

const workerOf = (source: string): string => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-worker-'))
  later(() => { rmSync(folder, { recursive: true, force: true }) })
  writeFileSync(join(folder, 'worker.mjs'), `import { parentPort } from 'node:worker_threads'; ${source}`)
  return join(folder, 'worker.mjs')
}

const opened = (file: string) => {
  const said: { view: DiagnosisView | null; latest: boolean }[] = []
  const atOnce: Proposed[] = []
  const reported: unknown[] = []
  const report = (error: unknown): void => { reported.push(error) }
  const thread = createThread(file, report)
  const diagnosing = createDiagnosing(thread, { changed: (view, latest) => { said.push({ view, latest }) }, proposed: (next) => { atOnce.push(next) } }, report)
  later(() => {
    diagnosing.close()
    thread.close()
  })
  return { diagnosing, said, atOnce, reported }
}

const atFirstPart = (): Play => {
  const bench = play()
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  expect(bench.step()).toBe('r1')
  return bench
}
/** Such a run is diagnosed from its first step on. */
const inFreeOrder = (play: Play): Bench => {
  const bench = play.bench()
  return { ...bench, run: { ...bench.run, started: { ...bench.run.started, order: 'tells-most' } } }
}
const withR1 = (value: number): Play => { const bench = atFirstPart(); bench.touch('resistance', value); return bench }

/** Answers after a moment with what it was asked, and says nothing of the circuit; asked for the next step at once, the first that is open. */
const slow = `parentPort.on('message', ({ work, of: { run, after, readings, open } }) => {
  if (work === 'next-at-once') parentPort.postMessage({ answer: { step: open[0], because: 'it is the first' } })
  else setTimeout(() => { parentPort.postMessage({ answer: { run, after, readings: readings.readings.length, problem: null, parts: [], likely: [], notes: [], next: [], expected: [] } }) }, 300) })`

describe('the diagnosis of the run on the bench', () => {
  it('comes from the built worker once a value is recorded, and goes with the run', async () => {
    const { diagnosing, said } = opened(join(root, 'out/main/worker.js'))
    const bench = withR1(330)
    // A value outside its limits is touched again before the step is decided.
    bench.touch('resistance', 330)
    diagnosing.look(bench.bench())
    await expect.poll(() => diagnosing.view()?.readings, { timeout: 60_000 }).toBe(1)
    expect(diagnosing.view()?.parts.find(({ ref }) => ref === 'R1')).toMatchObject({ report: 'faulty', says: expect.stringContaining('drifted') })
    diagnosing.look(null)
    expect(said.at(-1)).toEqual({ view: null, latest: true })
  })

  it('is not asked for before the sequence has begun', () => {
    const { diagnosing, said } = opened('/nowhere/worker.js')
    diagnosing.look(play().bench())
    expect([diagnosing.view(), said]).toEqual([null, []])
  })

  it('is not asked for in fixed order while nothing failed', () => {
    const { diagnosing, said } = opened('/nowhere/worker.js')
    diagnosing.look(withR1(221.4).bench())
    expect([diagnosing.view(), said]).toEqual([null, []])
  })

  it('answers the newest request; what fewer readings said is shown as such, and of readings undone it is dropped', async () => {
    const { diagnosing, said, atOnce } = opened(workerOf(slow))
    const bench = atFirstPart()
    diagnosing.look(inFreeOrder(bench))
    await expect.poll(() => atOnce.length, { timeout: 20_000 }).toBe(1)
    bench.touch('resistance', 221.4)
    diagnosing.look(inFreeOrder(bench))
    await expect.poll(() => said.map(({ view, latest }) => [view?.readings, latest]), { timeout: 20_000 }).toEqual([[0, false], [1, true]])
    bench.open('diode')
    diagnosing.look(inFreeOrder(bench))
    // Taken back while the worker is at it: two readings are no longer what the run holds.
    bench.wait(0.6)
    bench.give({ kind: 'press', press: 'back', at: bench.at() as never })
    diagnosing.look(inFreeOrder(bench))
    await expect.poll(() => said.length, { timeout: 20_000 }).toBe(3)
    expect(said.at(-1)).toMatchObject({ view: { readings: 1 }, latest: true })
  })

  it('says in free order what to take next before all is worked out, and in the fixed order nothing', async () => {
    const { diagnosing, said, atOnce } = opened(join(root, 'out/main/worker.js'))
    const bench = withR1(330)
    diagnosing.look(inFreeOrder(bench))
    await expect.poll(() => said.length, { timeout: 60_000 }).toBe(1)
    expect(atOnce).toHaveLength(1)
    expect(said[0]?.view?.next.map(({ step }) => step)).toContain(atOnce[0]?.step)
    bench.touch('resistance', 330)
    diagnosing.look(bench.bench())
    await expect.poll(() => said.length, { timeout: 60_000 }).toBe(2)
    expect(atOnce).toHaveLength(1)
  })

  it.each([
    ['throws', "parentPort.on('message', () => { throw new Error('no') })"],
    ['ends without a word', "parentPort.on('message', () => { process.exit(0) })"],
  ])('of a worker that %s is said in words to be missing, and is tried again with the next value', async (_how, source) => {
    const { diagnosing, said, reported } = opened(workerOf(source))
    const bench = atFirstPart()
    diagnosing.look(inFreeOrder(bench))
    await expect.poll(() => said.length, { timeout: 20_000 }).toBe(1)
    expect(said[0]?.view?.problem).toMatch(/could not be worked out.*The run goes on/)
    bench.touch('resistance', 221.4)
    diagnosing.look(inFreeOrder(bench))
    await expect.poll(() => said.length, { timeout: 20_000 }).toBe(2)
    // What to take next, then all of it, and both again.
    expect(reported).toHaveLength(4)
    expect(bench.step()).toBe('d1')
  })
})
