/** Rule 10 of capture.md: a failing value that fits a neighbouring placement on a good board better than the likeliest fault here. */
import { type FaultCell, type Neighbour, onScale, type PlacementReadings, readingRoom as room } from '../circuit/placement-readings'
import type { MeterFunction } from '../meter/reading'

/** Touches on a wrong placement among all. Assumed; chosen by trials that count what is asked in vain and what is named (its test). */
const wrongShare = 0.003
/** A verdict that a fault does not explain has another cause: a second fault, a limit just passed. Our choice. */
const [unexplainedPass, unexplainedFail] = [0.02, 0.05]

/** What earlier steps of this run came to; `value` of those that failed with a figure. */
export type Earlier = { step: string; passed: boolean; value: number | null }

const reads = ({ low, high }: FaultCell, at: number, x: number, what: MeterFunction, spread: number): number => {
  const [from, to] = [low[at] ?? NaN, high[at] ?? NaN]
  if (Number.isNaN(from) || Number.isNaN(to) || from === Infinity) return 0
  const left = onScale(from, what) - room * spread
  const right = (to === Infinity ? Math.max(onScale(from, what), onScale(1e7, what)) : onScale(to, what)) + room * spread
  return x >= left && x <= right ? 1 / (right - left) : 0
}

type Placed = Pick<Earlier, 'passed' | 'value'> & { /** Of the step, among those of the table. */ at: number; what: MeterFunction }

/** How well a cell goes with what the steps before came to. */
const goesWith = (readings: PlacementReadings, cell: FaultCell, earlier: readonly Placed[]): number =>
  earlier.reduce((product, { at, what, passed, value }) => {
    const fails = cell.fails[at]
    if (passed) return fails === 'always' ? product * unexplainedPass : product
    if (fails === 'never') return product * unexplainedFail
    const fits = value === null ? cell.high[at] === Infinity : reads(cell, at, onScale(value, what), what, readings.spread[at] ?? 0.05) > 0
    return fits ? product : product * unexplainedFail
  }, 1)

/**
 * The placement a failing value looks like, or null where a fault explains it better, or nothing does.
 * @param value SI, finite, after lead resistance. @param earlier the steps decided before this one.
 */
export const looksLike = (
  readings: PlacementReadings, step: string, value: number, earlier: readonly Earlier[], functionOf: (step: string) => MeterFunction,
): Neighbour | null => {
  const at = readings.steps.indexOf(step)
  const neighbours = readings.neighbours[at]
  if (neighbours === undefined) return null
  const what = functionOf(step)
  const x = onScale(value, what)
  const failed = new Set(earlier.flatMap((one) => (one.passed ? [] : [one.step])))
  const total = neighbours.reduce((sum, { weight }) => sum + weight, 0)
  let [best, most]: [Neighbour | null, number] = [null, 0]
  for (const one of neighbours) {
    // What a good board reads there is not what this one does.
    if (value < one.low || value > one.high || (one.step !== null && failed.has(one.step))) continue
    const density = wrongShare * one.weight / total / (onScale(one.high, what) - onScale(one.low, what))
    if (density > most) [best, most] = [one, density]
  }
  if (best === null) return null
  const placed = earlier.flatMap(({ step: id, passed, value: read }): Placed[] => { const which = readings.steps.indexOf(id); return which < 0 ? [] : [{ at: which, what: functionOf(id), passed, value: read }] })
  const weights = readings.cells.map((cell) => cell.prior * goesWith(readings, cell, placed))
  const good = earlier.reduce((product, { passed }) => (passed ? product : product * unexplainedFail), 1)
  const sum = weights.reduce((all, one) => all + one, good)
  const families = new Map<number, number>()
  readings.cells.forEach((cell, index) => {
    const density = (weights[index] ?? 0) / sum * reads(cell, at, x, what, readings.spread[at] ?? 0.05)
    families.set(cell.family, (families.get(cell.family) ?? 0) + density)
  })
  return most > Math.max(0, ...families.values()) ? best : null
}
