/** Has the worker find the shortest way of a practice board, and keeps it for the run's end and for Records. */
import type { BoardType } from '../../../src-core/board/board-type'
import type { ShortestWay } from '../../../src-core/circuit/shortest-way'
import type { KnownWay } from '../../../src-core/practice/truth'
import type { Thread } from '../threads'

export type ShortestWays = {
  /** What is known of it by now; asking for the first time sets the worker to it. */
  of: (run: string, board: BoardType, faults: readonly string[]) => KnownWay
  /** What is known without setting the worker to anything. */
  known: (run: string) => KnownWay
  /** Waits for it; one that failed before is tried once more. */
  find: (run: string, board: BoardType, faults: readonly string[]) => Promise<KnownWay>
  close: () => void
}

type Asked = { way: KnownWay; over: Promise<KnownWay> }

const mostKept = 8

/** @param found called when it has become known, or known to be not to be had, of a run that was asked for. */
export const createShortestWays = (thread: Thread, found: () => void, report: (error: unknown) => void): ShortestWays => {
  const asked = new Map<string, Asked>()
  let closed = false

  const ask = (run: string, board: BoardType, faults: readonly string[]): Asked => {
    let settle: (way: KnownWay) => void = () => undefined
    const own: Asked = { way: 'sought', over: new Promise((resolve) => { settle = resolve }) }
    const isKept = (): boolean => !closed && asked.get(run) === own
    const become = (way: KnownWay): void => {
      own.way = way
      settle(way)
      if (isKept()) found()
    }
    asked.set(run, own)
    for (const old of [...asked.keys()].slice(0, -mostKept)) asked.delete(old)
    thread.ask<ShortestWay>({ work: 'find-shortest-way', urgency: 'soon', of: () => (isKept() ? { board, faults: [...faults] } : null) })
      .then((way) => { become(way ?? 'failed') }, (error: unknown) => {
        if (!closed) report(error)
        become('failed')
      })
    return own
  }

  return {
    of: (run, board, faults) => (asked.get(run) ?? ask(run, board, faults)).way,
    known: (run) => asked.get(run)?.way ?? 'sought',
    find: (run, board, faults) => {
      const present = asked.get(run)
      return (present === undefined || present.way === 'failed' ? ask(run, board, faults) : present).over
    },
    close: () => { closed = true },
  }
}
