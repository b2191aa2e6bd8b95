/** The worker: whatever takes longer than the serial loop may be held up. A thread loads what a kind of work needs with the first question of that kind. */
import { parentPort } from 'node:worker_threads'
import type { WorkerSays } from './threads'

/** The answer, and what of it is handed over instead of copied. */
export type Done = { answer: unknown; hand?: ArrayBuffer[] }
type Doing = (of: unknown) => Done

const works = {
  'read-library': async () => (await import('./tasks/read-library')).readLibraryFiles,
  'seal': async () => (await import('./tasks/seal')).sealRecords,
  'propose': async () => (await import('./tasks/propose')).proposeDescription,
  'diagnose': async () => (await import('./tasks/circuits')).diagnoseRun,
  'next-at-once': async () => (await import('./tasks/circuits')).nextAtOnce,
  'compute-limits': async () => (await import('./tasks/circuits')).computeLimits,
  'compute-elsewhere': async () => (await import('./tasks/circuits')).computeElsewhere,
  'read-placements': async () => (await import('./tasks/circuits')).readPlacements,
  'find-shortest-way': async () => (await import('./tasks/circuits')).findShortestWay,
  'tabulate': async () => (await import('./tasks/circuits')).tabulate,
} satisfies Record<string, () => Promise<Doing>>

export type WorkName = keyof typeof works

const say = (said: WorkerSays, hand: ArrayBuffer[] = []): void => { parentPort?.postMessage(said, hand) }

parentPort?.on('message', ({ work, of }: { work: WorkName; of: unknown }) => {
  works[work]().then((doing) => doing(of)).then(({ answer, hand }) => { say({ answer }, hand) }, (failed: unknown) => { say({ failed }) })
})
