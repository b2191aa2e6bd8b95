/** A simulated shop whose boards fail in their own way: how many touches its history saves against the kinds' priors alone. */
import type { BoardType } from '../../../src-core/board/board-type'
import { drawFaultSet } from '../../../src-core/circuit/draw-faults'
import { drawnRanges } from '../../../src-core/circuit/fault-priors'
import type { PartFault } from '../../../src-core/circuit/faults'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { type FaultHistory, weightFactors } from '../../../src-core/shop/fault-history'
import { probeAdaptively, type Session } from '../circuit/score/adaptive'
import { freshDiagnoser } from '../circuit/score/diagnoser'
import { type DrawnBoard, drawBoard } from '../circuit/score/drawn-board'

/** Parts of one kind fail up to so many times as often as others in this shop: what stands behind a socket that lightning finds, what one batch had wrong. */
const tilt = 30

/** The hidden faults of the board of this seed as `drawCase` draws them, without its leaks and readings; null where it has not `count` of them. */
const faultsOf = (board: BoardType, seed: number, count?: number): PartFault[] | null => {
  const random = seededRandom(seed)
  const own = 1 + Math.floor(random() * drawnRanges.mostFaults)
  return count === undefined || own === count ? drawFaultSet(board, random, own) : null
}

/** Gives the seed of a board as it comes in. */
type Shop = (random: () => number) => number

/** One shop and one board type: how readily each part fails here, from 1/tilt to 1, evenly in the logarithm. One to five faults equally often. */
const shopOf = (board: BoardType, seed: number): Shop => {
  const chance = seededRandom(seed)
  const readily = new Map(board.parts.map(({ ref }) => [ref, tilt ** -chance()]))
  return (random) => {
    const count = 1 + Math.floor(random() * drawnRanges.mostFaults)
    for (;;) {
      const drawn = Math.floor(random() * 2 ** 31)
      const faults = faultsOf(board, drawn, count)
      if (faults !== null && random() < faults.reduce((product, { ref }) => product * (readily.get(ref) ?? 1), 1)) return drawn
    }
  }
}

/** What the shop knows of so many boards, each repaired and its faulty parts found. */
const historyOfShop = (board: BoardType, shop: Shop, boards: number, seed: number): FaultHistory => {
  const random = seededRandom(seed)
  const faults: Record<string, number> = {}
  for (let count = 0; count < boards; count += 1) for (const { ref } of faultsOf(board, shop(random)) ?? []) faults[ref] = (faults[ref] ?? 0) + 1
  return { boards, faults }
}

export type Measured = { usual: number[]; learnt: number[]; usualWrong: number; learntWrong: number; faulty: number }

/** Faulty parts that a session ends by calling good. */
const wrong = ({ diagnosis }: Session, { faults }: DrawnBoard): number =>
  faults.filter(({ ref }) => diagnosis.parts.some((part) => part.ref === ref && part.report === 'good')).length

/** Touches on the same boards, probed once with the kinds' priors alone and once with the shop's history. */
export const measured = (board: BoardType, seed: number, boards: number, learntFrom: number): Measured => {
  const shop = shopOf(board, seed)
  const factors = weightFactors(board, historyOfShop(board, shop, learntFrom, seed + 1))
  const random = seededRandom(seed + 2)
  const found: Measured = { usual: [], learnt: [], usualWrong: 0, learntWrong: 0, faulty: 0 }
  for (let at = 0; at < boards; at += 1) {
    const own = shop(random)
    const drawn = drawBoard([board], own)
    const plain = probeAdaptively(drawn, freshDiagnoser(), () => 0)
    const told = probeAdaptively(drawBoard([board], own), freshDiagnoser({ weightOf: (ref) => factors.get(ref) ?? 1 }), () => 0)
    found.usual.push(plain.taken.length)
    found.learnt.push(told.taken.length)
    found.usualWrong += wrong(plain, drawn)
    found.learntWrong += wrong(told, drawn)
    found.faulty += drawn.faults.length
  }
  return found
}
