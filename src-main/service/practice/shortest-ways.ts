/** Has the worker find the shortest way of a practice board, and keeps it for the run's end and for Records. */
import { Worker } from 'node:worker_threads'
import type { BoardType } from '../../../src-core/board/board-type'
import type { ShortestWay } from '../../../src-core/circuit/shortest-way'
import type { KnownWay } from '../../../src-core/practice/truth'

export type ShortestWays = {
  /** What is known of it by now; asking for the first time sets the worker to it. */
  of: (run: string, board: BoardType, faults: readonly string[]) => KnownWay
  /** What is known without setting the worker to anything. */
  known: (run: string) => KnownWay
  /** Waits for it; one that failed before is tried once more. */
  find: (run: string, board: BoardType, faults: readonly string[]) => Promise<KnownWay>
  close: () => void
}

type Asked = { way: KnownWay; over: Promise<KnownWay>; worker: Worker }

const mostKept = 8

/** @param found called when it has become known, or known to be not to be had, of a run that was asked for. */
export const createShortestWays = (workerFile: string, found: () => void, report: (error: unknown) => void): ShortestWays => {
  const asked = new Map<string, Asked>()
  let closed = false

  const ask = (run: string, board: BoardType, faults: readonly string[]): Asked => {
    const worker = new Worker(workerFile)
    let settle: (way: KnownWay) => void = () => undefined
    const own: Asked = { way: 'sought', worker, over: new Promise((resolve) => { settle = resolve }) }
    const become = (way: KnownWay): void => {
      if (own.way !== 'sought') return
      own.way = way
      settle(way)
      void worker.terminate()
      if (!closed && asked.get(run) === own) found()
    }
    worker.on('message', (way: ShortestWay) => { become(way) })
    worker.on('error', (error) => {
      report(error)
      become('failed')
    })
    worker.on('exit', () => { become('failed') })
    worker.unref()
    worker.postMessage({ board, faults: [...faults] })
    asked.set(run, own)
    for (const [old, { worker: oldWorker }] of [...asked].slice(0, -mostKept)) {
      asked.delete(old)
      void oldWorker.terminate()
    }
    return own
  }

  return {
    of: (run, board, faults) => (asked.get(run) ?? ask(run, board, faults)).way,
    known: (run) => asked.get(run)?.way ?? 'sought',
    find: (run, board, faults) => {
      const present = asked.get(run)
      return (present === undefined || present.way === 'failed' ? ask(run, board, faults) : present).over
    },
    close: () => {
      closed = true
      for (const { worker } of asked.values()) void worker.terminate()
    },
  }
}
