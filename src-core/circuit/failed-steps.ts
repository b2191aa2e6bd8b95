/** Which measure steps of a board's sequence a set of faults would fail, with every other part at its nominal value. */
import type { BoardType } from '../board/board-type'
import { stateAt } from '../board/part-state'
import type { MeterFunction } from '../meter/reading'
import type { Limits } from '../metrology/limits'
import { readsAcross } from './expected-reading'
import type { Fault } from './faults'
import { networkOf } from './network'

/** Whether an expected reading lies inside a step's limits; no uncertainty, no lead resistance. */
export const expectedInside = (limits: Limits, value: number | 'overload', what: MeterFunction): boolean => {
  if (limits === 'open') return value === 'overload'
  if (limits === 'short') return value !== 'overload' && value <= (what === 'diode' ? 0.01 : 1)
  if ('atLeast' in limits) return value === 'overload' || value >= limits.atLeast
  if (value === 'overload') return false
  if ('atMost' in limits) return value <= limits.atMost
  if ('between' in limits) return value >= limits.between[0] && value <= limits.between[1]
  return Math.abs(value - limits.nominal) <= limits.nominal * limits.tolerance
}

/** Ids of the steps that fail, in order; branches are not followed, and a step that cannot be computed, or has no limits in the file,
 * or is made with something lifted, is not counted. */
export const failedSteps = (board: BoardType, faults: readonly Fault[]): string[] => {
  const network = networkOf(board, faults)
  const nets = new Map(board.testPoints.map(({ id, net }) => [id, net]))
  return board.sequence.steps.flatMap((step) => {
    if (step.kind !== 'measure' || step.limits === undefined || stateAt(board, step.id).length > 0) return []
    const [red, black] = [nets.get(step.red), nets.get(step.black)]
    if (red === undefined || black === undefined) return []
    const expected = readsAcross(network, red, black, step.function)
    return expected.ok && !expectedInside(step.limits, expected.value, step.function) ? [step.id] : []
  })
}
