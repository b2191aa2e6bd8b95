/** Has the worker tabulate what every fault of a board would read, and keeps it by the board file's hash and what the meter drives. */
import { Worker } from 'node:worker_threads'
import type { BoardType } from '../../src-core/board/board-type'
import type { Dictionary } from '../../src-core/circuit/dictionary'
import type { RegisterEntry } from '../../src-core/meter/register'

/** Empty lists: a meter of which nothing is known, and generic figures. */
export type MeterAsSource = Pick<RegisterEntry, 'sources' | 'ranges'>

export type Dictionaries = {
  /** @throws Error through the promise when the worker fails; asked again, it is tried again. */
  of: (hash: string, board: BoardType, meter: MeterAsSource) => Promise<Dictionary>
  close: () => Promise<void>
}

const mostKept = 8

/** @param workerFile the built worker. A worker is there only while it works. */
export const createDictionaries = (workerFile: string): Dictionaries => {
  const kept = new Map<string, { worker: Worker; over: Promise<Dictionary> }>()

  const ask = (board: BoardType, meter: MeterAsSource): { worker: Worker; over: Promise<Dictionary> } => {
    const worker = new Worker(workerFile)
    worker.unref()
    const over = new Promise<Dictionary>((resolve, reject) => {
      worker.once('message', (dictionary: Dictionary) => { resolve(dictionary); void worker.terminate() })
      worker.once('error', reject)
      worker.once('exit', () => { reject(new Error(`The worker ended before it had tabulated ${board.name}.`)) })
    })
    worker.postMessage({ tabulate: board, sources: meter.sources, ranges: meter.ranges })
    return { worker, over }
  }

  return {
    of: (hash, board, meter) => {
      const key = JSON.stringify([hash, meter.sources, meter.ranges])
      const asked = kept.get(key) ?? ask(board, meter)
      kept.delete(key)
      kept.set(key, asked)
      asked.over.catch(() => { if (kept.get(key) === asked) kept.delete(key) })
      for (const [old, { worker }] of [...kept].slice(0, -mostKept)) {
        kept.delete(old)
        void worker.terminate()
      }
      return asked.over
    },
    close: async () => { await Promise.all([...kept.values()].map(({ worker }) => worker.terminate())) },
  }
}
