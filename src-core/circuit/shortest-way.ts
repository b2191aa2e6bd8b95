/**
 * How few touches would have shown the hidden fault. Defined so:
 * - A touch is one measure step of the board's sequence, on a board with its supply off; branches are not followed, any step may be taken.
 * - What a step shows of a state of the board is what the solver says a meter reads there, all other parts at their nominal value: inside
 *   the step's limits, open, or a figure outside (told-apart.ts says when two of these differ).
 * - The rivals of the hidden fault are the good board and every single fault of another part or pin, or of another kind, with all figures it
 *   may have (rivals.ts). A rival that no step of the sequence tells from the hidden fault is left out: the two are one group, and its part
 *   and kind are named in `alike`.
 * - The shortest way is a smallest set of steps such that each rival is told from the hidden fault by at least one of them.
 *   With several hidden faults it is the same for all of them together; with none, the rivals are the faults the sequence can show.
 */
import type { BoardType } from '../board/board-type'
import { stepsOfParts } from '../board/part-state'
import { type Fault, sameKind } from './faults'
import { leastCover } from './least-cover'
import { networkOf } from './network'
import { rivalsOf } from './rivals'
import { readingAt, shownAs, toldApart, type Shown } from './told-apart'
import { closeFigures } from './usual-faults'

export type ShortestWay = {
  /** Ids of the steps, in the order of the sequence; empty where none shows the fault, or there is nothing to tell. */
  steps: string[]
  /** False where no step tells a board with the fault from a good one. */
  shows: boolean
  /** Whether no smaller set exists; false where the search was given up. */
  exact: boolean
  /** Faults that no step tells from the hidden one, one of each part and kind. */
  alike: Fault[]
}

/** Some 30,000 readings on a board of 20 steps: 1 s and more, so not for the loop that reads the meter. */
export const shortestWay = (board: BoardType, hidden: readonly Fault[], figures = closeFigures): ShortestWay => {
  const measured = stepsOfParts(board)
  const shown = (faults: readonly Fault[]): Shown[] => {
    const network = networkOf(board, faults)
    return measured.map((step) => shownAs(step, readingAt(board, network, step)))
  }
  const truth = shown(hidden)
  const telling = (rival: readonly Shown[]): Set<number> =>
    new Set(measured.flatMap((step, at) => (toldApart(step, truth[at] ?? null, rival[at] ?? null) ? [at] : [])))
  const fromGood = hidden.length === 0 ? [] : [telling(shown([]))]
  const rivals = rivalsOf(board, hidden, measured, figures).map((rival) => ({ fault: rival.fault, by: telling(rival.shown) }))
  const alike = rivals.filter(({ by }) => by.size === 0).map(({ fault }) => fault)
    .filter((fault, at, all) => all.findIndex((one) => sameKind(one, fault)) === at)
  if (fromGood.some(({ size }) => size === 0)) return { steps: [], shows: false, exact: true, alike }
  const { chosen, exact } = leastCover([...fromGood, ...rivals.flatMap(({ by }) => (by.size === 0 ? [] : [by]))])
  return { steps: chosen.flatMap((at) => { const id = measured[at]?.id; return id === undefined ? [] : [id] }), shows: true, exact, alike }
}
