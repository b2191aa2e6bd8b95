/** Which steps of a board's sequence, measured, watched or walked, a set of faults would fail, with every other part at its nominal value. */
import type { BoardType, WalkStep } from '../board/board-type'
import { stateAt } from '../board/part-state'
import type { MeterFunction } from '../meter/reading'
import type { Limits } from '../metrology/limits'
import { readsAcross } from './expected-reading'
import type { Fault } from './faults'
import type { Network } from './elements'
import { networkOf } from './network'
import { usualTolerance } from '../run/good-values'

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

/** Whether a point of the walk reads so far from the good board that its neighbours would be held to, by its tolerance alone. Points that are no test points cannot be computed; without a list red may go to any. */
const walkShows = (step: WalkStep, good: Network, faulty: Network, nets: ReadonlyMap<string, string>): boolean => {
  const black = nets.get(step.black)
  const points = (step.points ?? [...nets.keys()].filter((id) => id !== step.black)).flatMap((point) => (typeof point === 'string' ? [nets.get(point)] : []))
  return points.some((red) => {
    if (red === undefined || black === undefined) return false
    const [was, is] = [readsAcross(good, red, black, step.function), readsAcross(faulty, red, black, step.function)]
    if (!was.ok || !is.ok) return false
    if (was.value === 'overload' || is.value === 'overload') return was.value !== is.value
    return Math.abs(is.value - was.value) > (step.tolerance ?? usualTolerance) * Math.abs(was.value)
  })
}

/** Ids of the steps that fail, in order; branches are not followed, and a step that cannot be computed, or has no limits in the file and is no walk,
 * or is made with something lifted, is not counted. */
export const failedSteps = (board: BoardType, faults: readonly Fault[]): string[] => {
  const [good, network] = [networkOf(board, []), networkOf(board, faults)]
  const nets = new Map(board.testPoints.map(({ id, net }) => [id, net]))
  return board.sequence.steps.flatMap((step) => {
    if (stateAt(board, step.id).length > 0) return []
    if (step.kind === 'walk') return walkShows(step, good, network, nets) ? [step.id] : []
    if ((step.kind !== 'measure' && step.kind !== 'watch') || step.limits === undefined) return []
    const [red, black] = [nets.get(step.red), nets.get(step.black)]
    if (red === undefined || black === undefined) return []
    const expected = readsAcross(network, red, black, step.function)
    return expected.ok && !expectedInside(step.limits, expected.value, step.function) ? [step.id] : []
  })
}
