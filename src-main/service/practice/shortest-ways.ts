/** Has the worker find the shortest way of a practice board, and keeps it for the run's end. */
import { Worker } from 'node:worker_threads'
import type { BoardType } from '../../../src-core/board/board-type'
import type { ShortestWay } from '../../../src-core/circuit/shortest-way'

export type ShortestWays = {
  /** Null until it is known; asking for the first time sets the worker to it. */
  of: (run: string, board: BoardType, faults: readonly string[]) => ShortestWay | null
  close: () => void
}

/** @param found called when a way that was asked for has become known. */
export const createShortestWays = (workerFile: string, found: () => void, report: (error: unknown) => void): ShortestWays => {
  let present: { run: string; way: ShortestWay | null; worker: Worker } | null = null
  const close = (): void => { void present?.worker.terminate() }

  const ask = (run: string, board: BoardType, faults: readonly string[]): void => {
    close()
    const asked = { run, way: null as ShortestWay | null, worker: new Worker(workerFile) }
    present = asked
    asked.worker.on('message', (way: ShortestWay) => {
      asked.way = way
      void asked.worker.terminate()
      if (present === asked) found()
    })
    asked.worker.on('error', report)
    asked.worker.unref()
    asked.worker.postMessage({ board, faults: [...faults] })
  }

  return {
    of: (run, board, faults) => {
      if (present?.run !== run) ask(run, board, faults)
      return present?.run === run ? present.way : null
    },
    close,
  }
}
