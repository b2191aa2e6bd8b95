/** Which parts of a board type the shop found faulty, and what that does to the usual figures of each kind of part. */
import { z } from 'zod'
import type { BoardType } from '../board/board-type'
import { priorsOf } from '../circuit/fault-priors'

/** `boards`: runs of this board type that ended with a fault; `faults`: in how many of them each part was the one. */
export const faultHistory = z.strictObject({ boards: z.number().int().nonnegative(), faults: z.record(z.string(), z.number().int().nonnegative()) })
export type FaultHistory = z.infer<typeof faultHistory>

export const noHistory: FaultHistory = { boards: 0, faults: {} }

/** The usual figures weigh as much as so many failed boards. Our choice: after forty the shop's own boards count for half. */
export const strengthOfUsual = 40

/** How much of what is said rests on the shop's own boards, from 0 to 1. */
export const shareOfHistory = ({ boards }: FaultHistory): number => boards / (boards + strengthOfUsual)

/** Faults a failed board has on average: as the shop found them, with one a board as the usual figure. */
const faultsABoard = ({ boards, faults }: FaultHistory): number =>
  (Object.values(faults).reduce((sum, count) => sum + count, 0) + strengthOfUsual) / (boards + strengthOfUsual)

/** By the kind of each part alone, as shares of all faults of the board. */
const usualShares = (board: BoardType): Map<string, number> => {
  const weights = new Map<string, number>()
  for (const { part, weight } of priorsOf(board)) weights.set(part.ref, (weights.get(part.ref) ?? 0) + weight)
  const all = [...weights.values()].reduce((sum, weight) => sum + weight, 0)
  return new Map([...weights].map(([ref, weight]) => [ref, weight / all]))
}

export type PartPrior = { ref: string; usual: number; learnt: number }

/**
 * How likely each part is to be faulty on a failed board: beta-binomial, (s·p + k)/(s + n), with p of its kind, k of n boards and the strength s
 * above (the mean of a beta distribution after binomial counts; common practice, no source).
 */
export const partPriors = (board: BoardType, history: FaultHistory): PartPrior[] => {
  const level = faultsABoard(history)
  return [...usualShares(board)].map(([ref, share]) => {
    const usual = Math.min(0.95, share * level)
    return { ref, usual, learnt: (strengthOfUsual * usual + (history.faults[ref] ?? 0)) / (strengthOfUsual + history.boards) }
  })
}

/** What a part's usual weight is multiplied by; 1 for one that nothing is known of. */
export const weightFactors = (board: BoardType, history: FaultHistory): Map<string, number> =>
  new Map(partPriors(board, history).map(({ ref, usual, learnt }) => [ref, learnt / usual]))

/** “The priors are 75 % this shop’s: of 120 failed boards of this type; the rest is what parts of each kind usually do.” Empty without any. */
export const historyInWords = (history: FaultHistory): string => (history.boards === 0 ? ''
  : `How likely each part is beforehand rests to ${Math.round(100 * shareOfHistory(history))} % on ${history.boards === 1 ? 'the one board of this type that failed here' : `the ${history.boards} boards of this type that failed here`}, the rest on what parts of its kind usually do.`)
