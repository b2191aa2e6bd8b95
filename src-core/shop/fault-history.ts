/** Which parts of a board type the shop found faulty, and what that does to the usual figures of each kind of part. */
import { z } from 'zod'
import type { BoardType } from '../board/board-type'
import type { DiagnosisOptions } from '../circuit/diagnose'
import { fittedWeights, shareFaulty } from '../circuit/diagnose/fitted-weights'
import { type CountPrior, usualCounts } from '../circuit/diagnose/set-prior'
import { priorsOf } from '../circuit/fault-priors'

/** Of the runs of this board type that named faulty parts. `faults`: in how many of them each part was one; `byNumber`: how many of them named one part, two, three, … */
export const faultHistory = z.strictObject({ faults: z.record(z.string(), z.number().int().nonnegative()), byNumber: z.array(z.number().int().nonnegative()) })
export type FaultHistory = z.infer<typeof faultHistory>

export const noHistory: FaultHistory = { faults: {}, byNumber: [] }

export const boardsIn = ({ byNumber }: FaultHistory): number => byNumber.reduce((sum, count) => sum + count, 0)

/** The usual figures weigh as much as so many failed boards. Our choice: after forty the shop's own boards count for half. */
export const strengthOfUsual = 40

/** How much of what is said rests on the shop's own boards, from 0 to 1. */
export const shareOfHistory = (history: FaultHistory): number => boardsIn(history) / (boardsIn(history) + strengthOfUsual)

/** (s·p + k)/(s + n), with the usual p, k of n boards and the strength s above: the mean of a beta or Dirichlet distribution after counts (common practice, no source). */
const after = (usual: number, found: number, of: number): number => (strengthOfUsual * usual + found) / (strengthOfUsual + of)

/** Probability of 0, 1, 2, … faulty parts. Of none as usual: failed boards do not say how many come in with nothing wrong. Whoever had more than the usual most counts as that. */
export const countsOf = (history: FaultHistory): CountPrior => {
  const [none = 0, ...usual] = usualCounts
  const found = usual.map((_, at) => history.byNumber.slice(at, at + 1 < usual.length ? at + 1 : undefined).reduce((sum, count) => sum + count, 0))
  return [none, ...usual.map((chance, at) => (1 - none) * after(chance / (1 - none), found[at] ?? 0, boardsIn(history)))]
}

/** By the kind of each part alone. */
const usualWeights = (board: BoardType): Map<string, number> => {
  const weights = new Map<string, number>()
  for (const { part, weight } of priorsOf(board)) weights.set(part.ref, (weights.get(part.ref) ?? 0) + weight)
  return weights
}

export type PartPrior = { ref: string; usual: number; learnt: number }

/** How likely each part is to be faulty on a failed board: by its kind alone, and with what the shop found. */
export const partPriors = (board: BoardType, history: FaultHistory): PartPrior[] => {
  const weights = usualWeights(board)
  const shares = shareFaulty(usualCounts, [...weights.values()])
  return [...weights.keys()].map((ref, at) => ({ ref, usual: shares[at] ?? 0, learnt: after(shares[at] ?? 0, history.faults[ref] ?? 0, boardsIn(history)) }))
}

/** What a part's usual weight is multiplied by, so that it is faulty as often as was learnt; 1 for one that nothing is known of. */
export const weightFactors = (board: BoardType, history: FaultHistory): Map<string, number> => {
  const usual = usualWeights(board)
  const weights = [...usual.values()]
  const fitted = boardsIn(history) === 0 ? weights : fittedWeights(countsOf(history), partPriors(board, history).map(({ learnt }) => learnt), weights)
  return new Map([...usual].map(([ref, weight], at) => [ref, (fitted[at] ?? weight) / weight]))
}

/** What a diagnosis is told of the shop: how readily each part fails here, and how many at a time. */
export const learntPriors = (board: BoardType, history: FaultHistory): Pick<DiagnosisOptions, 'weightOf' | 'counts'> => {
  const factors = weightFactors(board, history)
  return { weightOf: (ref) => factors.get(ref) ?? 1, counts: countsOf(history) }
}

/** “How likely each part is to be faulty beforehand, and how many are, rests to 75 % on …”; empty without any. */
export const historyInWords = (history: FaultHistory): string => {
  const boards = boardsIn(history)
  return boards === 0 ? ''
    : `How likely each part is to be faulty beforehand, and how many at once, rests to ${Math.round(100 * shareOfHistory(history))} % on ${boards === 1 ? 'the one board of this type that failed here' : `the ${boards} boards of this type that failed here`} and whose faulty parts were named, the rest on what parts of each kind usually do.`
}
