/** Reads one run from the store in pieces the serial loop does not feel, with the board file it was made with. */
import type { BoardType } from '../../src-core/board/board-type'
import type { RunWithBoard } from '../../src-core/run/compare'
import { parseRunEvent } from '../../src-core/run/event'
import { rebuild, reduce, type RunState } from '../../src-core/run/state'
import { Refusal } from './dispatcher'
import type { LibraryBoard } from './library-files'
import type { RunStore } from './store/run-store'
import type { ShopStore } from './store/shop-store'
import { createTurns, type Turn } from './turns'

export type RunReader = {
  /** The events as they lie in the file, in pieces that the serial loop does not feel. @throws Refusal for a run that is not here. */
  pieces: (run: string) => Iterable<string[]>
  /** @throws Refusal for a run that is not here. */
  read: (run: string, turn?: Turn) => Promise<RunWithBoard>
}

const boardsHeld = 20
const eventsAPiece = 25
const notHere = (): Refusal => new Refusal('That run is not in this data folder.')

export const createRunReader = (runs: RunStore, shop: ShopStore, inLibrary: () => readonly LibraryBoard[]): RunReader => {
  /** A board file kept under its SHA-256 never changes. One of the library was read and checked there. */
  const boards = new Map<string, BoardType | null>()
  const boardOf = (sha256: string): BoardType | null => {
    const board = boards.get(sha256) ?? inLibrary().find((each) => each.sha256 === sha256)?.board ?? shop.board(sha256)
    boards.set(sha256, board)
    for (const old of [...boards.keys()].slice(0, -boardsHeld)) boards.delete(old)
    return board
  }

  function* pieces(run: string): Generator<string[]> {
    for (let after = 0; ;) {
      const piece = runs.bodiesAfter(run, after, eventsAPiece)
      if (piece.length === 0 && after === 0) throw notHere()
      if (piece.length === 0) return
      yield piece
      after += piece.length
    }
  }

  return {
    pieces,
    read: async (run, turn = createTurns()) => {
      let state: RunState | null = null
      for (const piece of pieces(run)) {
        for (const body of piece) {
          const event = parseRunEvent(JSON.parse(body))
          state = state === null ? rebuild([event]) : reduce(state, event)
          await turn()
        }
      }
      if (state === null) throw notHere()
      const board = boardOf(state.started.board.sha256)
      await turn()
      return { state, board }
    },
  }
}
