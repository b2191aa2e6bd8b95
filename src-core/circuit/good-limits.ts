/** What a good board may read at a placement, wherever in their tolerances its parts lie and between 15 °C and 35 °C, as limits. */
import type { BoardType } from '../board/board-type'
import { shortOhms } from '../metrology/interval'
import type { Limits } from '../metrology/limits'
import { expandedUncertainty } from '../metrology/uncertainty'
import { genericDrives, type MeterDrives } from './meter-drive'
import type { NetPlacement } from './net-placements'
import { networkOf } from './network'
import { read, readerOf } from './read'
import type { Random } from './seeded-random'
import { drawSpread } from './spread'

/** Boards drawn; with the uncertainty of the meter beside it this holds 300 others of every sample board (its test). */
const usualDraws = 200
/**
 * What those drawn do not reach: so much of their range is added at either end, in the logarithm; more where they differ by half or more, as
 * where leakage decides, whose corners are drawn seldom. Our choice, checked by the same test.
 */
const beyond = (range: number): number => (range > 1.5 ? 0.4 : 0.15)
const [coldest, warmest] = [15, 35]
/** Readings of usual displays lie in ranges of 600, 6000, … with 6000 counts (common practice, no source). */
const [lowestOhms, lowestVolts, display] = [600, 6, 6000]

const countAt = ({ function: what }: NetPlacement, value: number): number => {
  let fullScale = what === 'diode' ? lowestVolts : lowestOhms
  while (Math.abs(value) > fullScale && fullScale < 1e8) fullScale *= 10
  return fullScale / display
}

/** Expanded uncertainty (k = 2) of a reading with a usual hand-held meter, SI. */
export const usualU = (at: NetPlacement, value: number): number => expandedUncertainty(value, countAt(at, value), null, null)?.U ?? 0

const outward = (value: number, way: 'down' | 'up'): number => {
  if (value === 0) return 0
  const step = 10 ** (Math.floor(Math.log10(Math.abs(value))) - 2)
  return Number(((way === 'down' ? Math.floor(value / step) : Math.ceil(value / step)) * step).toPrecision(6))
}

/** Of what good boards read there; `lo` and `hi` Infinity: overload. Null where there are no limits to give: nothing excluded, or not computed. */
const limitsOf = (at: NetPlacement, values: readonly number[]): Limits | null => {
  const [low, high] = [Math.min(...values), Math.max(...values)]
  if (Number.isNaN(low) || Number.isNaN(high)) return null
  if (low === Infinity) return 'open'
  const further = low > 0 && high < Infinity ? (high / low) ** beyond(high / low) : 1
  const [lo, hi] = [low / further, high * further]
  const least = outward(Math.max(0, lo - usualU(at, lo)), 'down')
  if (hi === Infinity) return least > 0 ? { atLeast: least } : null
  const most = outward(hi + usualU(at, hi), 'up')
  if (at.function === 'resistance' && most <= 2 * shortOhms && lo < shortOhms && hi < shortOhms) return 'short'
  return least > 0 ? { between: [least, most] } : { atMost: most }
}

/** One for each placement, in their order. `random` gives numbers in [0, 1). */
export const goodLimits = (
  board: BoardType, placements: readonly NetPlacement[], random: Random, drives: MeterDrives = genericDrives, draws = usualDraws,
): (Limits | null)[] => {
  const values = placements.map((): number[] => [])
  for (let drawn = 0; drawn <= draws; drawn += 1) {
    const nominal = drawn === 0
    const network = networkOf(board, [], nominal ? {} : { spread: drawSpread(board, random), celsius: drawn % 2 === 0 ? coldest + (warmest - coldest) * random() : drawn % 4 === 1 ? coldest : warmest })
    const reader = readerOf(network)
    placements.forEach((at, index) => {
      const found = read(reader, at.red, at.black, at.function, drives)
      values[index]?.push(!found.ok ? NaN : found.value === 'overload' ? Infinity : found.value)
    })
  }
  return placements.map((at, index) => limitsOf(at, values[index] ?? []))
}
