/** Whether one step's reading tells two states of a board apart: by its verdict first, and by the figure where both fail. */
import type { BoardType, MeasureStep } from '../board/board-type'
import type { MeterFunction } from '../meter/reading'
import { toleranceInterval } from '../metrology/interval'
import type { Network } from './elements'
import { readsAcross } from './expected-reading'
import { expectedInside } from './failed-steps'

/** What a step shows of a state: inside its limits, open, or a figure outside; null where it cannot be computed. Computed limits are filled in beforehand. */
export type Shown = 'inside' | 'overload' | number | null

/**
 * Figures that differ by less than this are one to a bench meter: lead and contact resistance in ohms, a few counts in volts.
 * Common practice, no source.
 */
const least: Partial<Record<MeterFunction, number>> = { resistance: 0.3, continuity: 0.3, diode: 0.003 }
/** Where limits are one-sided they tell no tolerance; figures that differ by a factor of 1.5 or less are then one. Our choice. */
const usualFactor = 1.5

/** What a meter reads at a step; null where it cannot be computed. `network` is that of the board in the state in question. */
export const readingAt = (board: BoardType, network: Network, step: MeasureStep): number | 'overload' | null => {
  const net = (id: string): string | undefined => board.testPoints.find((point) => point.id === id)?.net
  const [red, black] = [net(step.red), net(step.black)]
  if (red === undefined || black === undefined) return null
  const expected = readsAcross(network, red, black, step.function)
  return expected.ok ? expected.value : null
}

export const shownAs = (step: MeasureStep, reading: number | 'overload' | null): Shown =>
  (reading !== null && step.limits !== undefined && expectedInside(step.limits, reading, step.function) ? 'inside' : reading)

/** The factor between the highest and the lowest reading a good board may give: what the limits allow as tolerance. */
const factorOf = ({ limits }: MeasureStep): number => {
  if (typeof limits !== 'object' || !('between' in limits || 'nominal' in limits)) return usualFactor
  const [lo, hi] = toleranceInterval(limits)
  return lo > 0 ? hi / lo : usualFactor
}

/**
 * Inside and outside differ: so would the verdict. Two that are inside do not: that is tolerance. Two that are outside differ when one
 * is open and the other is not, or when their figures are further apart than the step's own tolerance and than a meter can see.
 */
export const toldApart = (step: MeasureStep, a: Shown, b: Shown): boolean => {
  if (a === null || b === null) return false
  if (typeof a !== 'number' || typeof b !== 'number') return a !== b
  if (Math.abs(a - b) <= (least[step.function] ?? 0)) return false
  const [small, large] = [Math.min(Math.abs(a), Math.abs(b)), Math.max(Math.abs(a), Math.abs(b))]
  return Math.sign(a) !== Math.sign(b) || large > small * factorOf(step)
}
