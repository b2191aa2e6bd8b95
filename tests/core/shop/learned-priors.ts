/** A simulated shop whose boards fail in their own way: how many touches its history saves against the kinds' priors alone. */
import type { BoardType } from '../../../src-core/board/board-type'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { type FaultHistory, weightFactors } from '../../../src-core/shop/fault-history'
import { probeAdaptively, type Session } from '../circuit/score/adaptive'
import { freshDiagnoser } from '../circuit/score/diagnoser'
import { type DrawnBoard, drawBoard } from '../circuit/score/drawn-board'
import { drawnRanges } from '../../../src-core/circuit/fault-priors'

/** Parts of one kind fail up to so many times as often as others in this shop: what stands behind a socket that lightning finds, what one batch had wrong. */
const tilt = 30

/** One shop and one board type: how readily each part fails here, from 1/tilt to 1, evenly in the logarithm. */
export const shopOf = (board: BoardType, seed: number): ((random: () => number) => DrawnBoard) => {
  const chance = seededRandom(seed)
  const readily = new Map(board.parts.map(({ ref }) => [ref, tilt ** -chance()]))
  return (random) => {
    const count = 1 + Math.floor(random() * drawnRanges.mostFaults)
    for (;;) {
      const drawn = drawBoard([board], Math.floor(random() * 2 ** 31))
      if (drawn.faults.length === count && random() < drawn.faults.reduce((product, { ref }) => product * (readily.get(ref) ?? 1), 1)) return drawn
    }
  }
}

/** What the shop knows of so many boards, each repaired and its faulty parts found. */
export const historyOfShop = (draw: (random: () => number) => DrawnBoard, boards: number, seed: number): FaultHistory => {
  const random = seededRandom(seed)
  const faults: Record<string, number> = {}
  for (let board = 0; board < boards; board += 1) for (const { ref } of draw(random).faults) faults[ref] = (faults[ref] ?? 0) + 1
  return { boards, faults }
}

export type Measured = { usual: number[]; learnt: number[]; usualWrong: number; learntWrong: number; faulty: number }

/** Faulty parts that a session ends by calling good. */
const wrong = ({ diagnosis }: Session, { faults }: DrawnBoard): number =>
  faults.filter(({ ref }) => diagnosis.parts.some((part) => part.ref === ref && part.report === 'good')).length

/** Touches on the same boards, probed once with the kinds' priors alone and once with the shop's history. */
export const measured = (board: BoardType, seed: number, boards: number, learntFrom: number): Measured => {
  const draw = shopOf(board, seed)
  const factors = weightFactors(board, historyOfShop(draw, learntFrom, seed + 1))
  const random = seededRandom(seed + 2)
  const found: Measured = { usual: [], learnt: [], usualWrong: 0, learntWrong: 0, faulty: 0 }
  for (let at = 0; at < boards; at += 1) {
    const drawn = draw(random)
    const plain = probeAdaptively(drawn, freshDiagnoser(), () => 0)
    const told = probeAdaptively(drawBoardAgain(board, drawn), freshDiagnoser({ weightOf: (ref) => factors.get(ref) ?? 1 }), () => 0)
    found.usual.push(plain.taken.length)
    found.learnt.push(told.taken.length)
    found.usualWrong += wrong(plain, drawn)
    found.learntWrong += wrong(told, drawn)
    found.faulty += drawn.faults.length
  }
  return found
}

/** The same board with its touches from the beginning. */
const drawBoardAgain = (board: BoardType, { seed }: DrawnBoard): DrawnBoard => drawBoard([board], seed)
