/** Touches on the boards of a simulated shop, probed once with the kinds' priors alone and once with the shop's history. */
import type { BoardType } from '../../../src-core/board/board-type'
import { learntPriors } from '../../../src-core/shop/fault-history'
import { probeAdaptively, type Session } from '../circuit/score/adaptive'
import { freshDiagnoser } from '../circuit/score/diagnoser'
import type { DrawnBoard } from '../circuit/score/drawn-board'
import { boardIn, historyOfShop, type ShopKind } from './simulated-shop'

/** Touches a board; then parts, over all boards: `wrong` is a faulty one called good, `wronglyFaulty` a good one called faulty. */
export type Told = { touches: number[]; wrong: number; found: number; wronglyFaulty: number }
export type Measured = { what: string; faulty: number; good: number; usual: Told; learnt: Told }

/** History and boards of a shop are drawn from seeds of their own. */
const boardSeed = 1000

const noneYet = (): Told => ({ touches: [], wrong: 0, found: 0, wronglyFaulty: 0 })

const take = (told: Told, { taken, diagnosis }: Session, faulty: ReadonlySet<string>): void => {
  told.touches.push(taken.length)
  for (const { ref, report } of diagnosis.parts) {
    if (faulty.has(ref) && report === 'good') told.wrong += 1
    if (faulty.has(ref) && report === 'faulty') told.found += 1
    if (!faulty.has(ref) && report === 'faulty') told.wronglyFaulty += 1
  }
}

/** The same boards, the same meter errors and the same stop for both. @param learntFrom boards in the history. */
export const measured = (board: BoardType, kind: ShopKind, seed: number, boards: number, learntFrom: number): Measured => {
  const shop = kind(board, seed)
  const priors = learntPriors(board, historyOfShop(shop, learntFrom, seed + 1))
  const found: Measured = { what: shop.what, faulty: 0, good: 0, usual: noneYet(), learnt: noneYet() }
  for (let at = 0; at < boards; at += 1) {
    const drawn = (): DrawnBoard => boardIn(shop, seed * boardSeed + at)
    const faulty = new Set(drawn().faults.map(({ ref }) => ref))
    found.faulty += faulty.size
    found.good += board.parts.length - faulty.size
    take(found.usual, probeAdaptively(drawn(), freshDiagnoser(), () => 0), faulty)
    take(found.learnt, probeAdaptively(drawn(), freshDiagnoser(priors), () => 0), faulty)
  }
  return found
}
