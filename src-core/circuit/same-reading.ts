/** Steps that read the same on a good board whether it is as it was built or as it is now, so that the limits of the file hold for both. */
import { stateAt, sameState, type PartState } from '../board/part-state'
import type { BoardType, MeasureStep } from '../board/board-type'
import { drawnReadings, type DrawnReadings } from './expected-interval'
import { countAt } from './good-limits'
import { genericDrives } from './meter-drive'
import { seededRandom } from './seeded-random'

/** Boards drawn, each read in both states, between them and at their usual figures. Our choice: what a lifted leg changes shows on all of them. */
const draws = 3
/** Readings are the same within one count of a usual display or this share, whichever is more. Our choice: no usual meter tells less apart. */
const sameShare = 0.001
const drawSeed = 1

const same = (what: MeasureStep['function'], one: number, other: number): boolean => {
  if (one === other) return true
  const larger = Math.max(Math.abs(one), Math.abs(other))
  return Number.isFinite(larger) && Math.abs(one - other) <= Math.max(countAt({ function: what }, larger), sameShare * larger)
}

const readsTheSame = (what: MeasureStep['function'], one: DrawnReadings | undefined, other: DrawnReadings | undefined): boolean => {
  if (one?.ok !== true || other?.ok !== true) return false
  const values = ({ nominal: { value }, values: drawn }: typeof one): number[] => [value === 'overload' ? Infinity : value, ...drawn]
  const [first, second] = [values(one), values(other)]
  return first.length === second.length && first.every((value, at) => same(what, value, second[at] ?? NaN))
}

const known = new WeakMap<BoardType, Map<string, ReadonlySet<string>>>()

/**
 * Ids of the measured steps of the file that no lifted or removed part changes. `found`: as the board is before its first step. With usual sources, so that a
 * run's plan is the same whichever meter is connected. Costs some milliseconds a step, once for a board and state.
 */
export const stepsReadAlike = (board: BoardType, found: readonly PartState[]): ReadonlySet<string> => {
  const key = JSON.stringify(found)
  const before = known.get(board)?.get(key)
  if (before !== undefined) return before
  const nets = new Map(board.testPoints.map(({ id, net }) => [id, net]))
  const steps = board.sequence.steps.flatMap((step) => (step.kind === 'measure' && step.powered !== true ? [{ step, built: stateAt(board, step.id), now: stateAt(board, step.id, found) }] : []))
  const alike = new Set(steps.flatMap(({ step: { id, red, black, function: what }, built, now }) => {
    if (sameState(built, now)) return [id]
    const at = { red: nets.get(red) ?? '', black: nets.get(black) ?? '', function: what }
    const [one, other] = [built, now].map((state) => drawnReadings(board, [at], { drives: genericDrives, random: seededRandom(drawSeed), boards: draws, state })[0])
    return readsTheSame(what, one, other) ? [id] : []
  }))
  known.set(board, (known.get(board) ?? new Map<string, ReadonlySet<string>>()).set(key, alike))
  return alike
}
