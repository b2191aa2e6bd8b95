/** Has the worker tabulate what every fault of a board would read, and keeps it by the board file's hash and what the meter drives. */
import type { BoardType } from '../../src-core/board/board-type'
import type { Dictionary } from '../../src-core/circuit/dictionary'
import type { RegisterEntry } from '../../src-core/meter/register'
import type { Thread } from './threads'

/** Empty lists: a meter of which nothing is known, and generic figures. */
export type MeterAsSource = Pick<RegisterEntry, 'sources' | 'ranges'>

export type Dictionaries = {
  /** @throws Error through the promise when the worker fails; asked again, it is tried again. */
  of: (hash: string, board: BoardType, meter: MeterAsSource) => Promise<Dictionary>
}

const mostKept = 8

export const createDictionaries = (thread: Thread): Dictionaries => {
  const kept = new Map<string, Promise<Dictionary>>()

  const ask = async (board: BoardType, { sources, ranges }: MeterAsSource): Promise<Dictionary> => {
    const dictionary = await thread.ask<Dictionary>({ work: 'tabulate', urgency: 'soon', of: () => ({ board, sources, ranges }) })
    if (dictionary === null) throw new Error(`${board.name} was not tabulated.`)
    return dictionary
  }

  return {
    of: (hash, board, meter) => {
      const key = JSON.stringify([hash, meter.sources, meter.ranges])
      const asked = kept.get(key) ?? ask(board, meter)
      kept.delete(key)
      kept.set(key, asked)
      asked.catch(() => { if (kept.get(key) === asked) kept.delete(key) })
      for (const old of [...kept.keys()].slice(0, -mostKept)) kept.delete(old)
      return asked
    },
  }
}
