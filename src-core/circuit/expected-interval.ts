/** What good boards read at a placement, with the spread of their parts: by drawing boards, and by a linear model that is checked against it. */
import type { BoardType } from '../board/board-type'
import type { MeterFunction } from '../meter/reading'
import type { DriveRange, MeterDrives } from './meter-drive'
import { networkOf, type BoardState } from './network'
import { read, readerOf, readWithGradient } from './read'
import { seededRandom, type Random } from './seeded-random'
import { drawSpread, spreadsOf } from './spread'

/** From `low` to `high`: 95 % of good boards, or all that were drawn, as the function says (`overload` where they reach above the ceiling). SI. */
export type ExpectedInterval = {
  value: number | 'overload'; low: number | 'overload'; high: number | 'overload'
  /** What drove the tips; null where nothing did. */
  range: DriveRange | null
}
export type IntervalOptions = { drives: MeterDrives; state?: BoardState; celsius?: number }
/** `red` and `black` are nets. */
export type ReadAt = { red: string; black: string; function: MeterFunction }

type Refused = { ok: false; because: string }
type Expected = { ok: true; interval: ExpectedInterval } | Refused

const conditions = ({ state, celsius }: IntervalOptions): { state?: BoardState; celsius?: number } =>
  ({ ...(state === undefined ? {} : { state }), ...(celsius === undefined ? {} : { celsius }) })

/** `celsiusOf`: of the drawn board of this number, from 1; that of the options unless given. */
export type DrawOptions = IntervalOptions & { random: Random; boards: number; celsiusOf?: (drawn: number, random: Random) => number }
/** `nominal`: every part at its usual figure. `values`: of the drawn boards, in their order; Infinity is overload. */
export type DrawnReadings = { ok: true; nominal: { value: number | 'overload'; range: DriveRange | null }; values: number[] } | Refused

/** Each board is drawn once and read at every placement. One answer for each placement, in their order. */
export const drawnReadings = (board: BoardType, placements: readonly ReadAt[], options: DrawOptions): DrawnReadings[] => {
  const { drives, random, boards, celsiusOf } = options
  const nominal = readerOf(networkOf(board, [], conditions(options)))
  const found = placements.map((at): DrawnReadings => {
    const reading = read(nominal, at.red, at.black, at.function, drives)
    return reading.ok ? { ok: true, nominal: { value: reading.value, range: reading.range }, values: [] } : reading
  })
  for (let drawn = 1; drawn <= boards; drawn += 1) {
    const spread = drawSpread(board, random)
    const celsius = celsiusOf === undefined ? {} : { celsius: celsiusOf(drawn, random) }
    const reader = readerOf(networkOf(board, [], { ...conditions(options), spread, ...celsius }))
    placements.forEach((at, index) => {
      const own = found[index]
      if (own === undefined || !own.ok) return
      const reading = read(reader, at.red, at.black, at.function, drives)
      if (reading.ok) own.values.push(reading.value === 'overload' ? Infinity : reading.value)
      else found[index] = reading
    })
  }
  return found
}

const nowhere: Refused = { ok: false, because: 'No placement was asked for.' }
const share95 = 0.95

/** The shortest way to 95 %: order statistics of boards drawn with this seed. `red` and `black` are nets. */
export const drawnInterval = (
  board: BoardType, red: string, black: string, what: MeterFunction, options: IntervalOptions, seed: number, boards: number,
): Expected => {
  const [drawn = nowhere] = drawnReadings(board, [{ red, black, function: what }], { ...options, random: seededRandom(seed), boards })
  if (!drawn.ok) return drawn
  const values = drawn.values.sort((a, b) => a - b)
  const at = (share: number): number | 'overload' => {
    const value = values[Math.min(Math.max(Math.round(share * (boards - 1)), 0), boards - 1)] ?? Infinity
    return value === Infinity ? 'overload' : value
  }
  return { ok: true, interval: { ...drawn.nominal, low: at((1 - share95) / 2), high: at((1 + share95) / 2) } }
}

/** Standard deviations to each side of a sum of evenly spread terms that hold 95 %: one such term, and many (the normal law). */
const oneTerm = Math.sqrt(3) * share95
const manyTerms = 1.959964

/**
 * Slopes by the spread of each part, taken at the nominal board; ohms are carried in their logarithm. Between one term that outweighs all others and
 * many alike, the width goes over from that of an even law to that of the normal law, by the largest term's share of the variance.
 */
export const linearInterval = (board: BoardType, red: string, black: string, what: MeterFunction, options: IntervalOptions): Expected => {
  const network = networkOf(board, [], conditions(options))
  const { reading, gradient } = readWithGradient(readerOf(network), red, black, what, options.drives)
  if (!reading.ok) return reading
  const { value, range } = reading
  if (value === 'overload') return { ok: true, interval: { value, low: value, high: value, range } }
  const step = 1.001
  let [variance, largest] = [0, 0]
  for (const { key, ref, law, width } of spreadsOf(board)) {
    const moved = networkOf({ ...board, parts: board.parts.filter((part) => part.ref === ref) }, [], { ...conditions(options), spread: { [key]: step } }).elements
    let follows = 0
    let which = 0
    network.elements.forEach((element, at) => {
      if (element.part !== ref) return
      const then = moved[which]
      which += 1
      if (then === undefined) return
      if (element.kind === 'resistance' && then.kind === 'resistance') follows += (gradient[at] ?? 0) * Math.log(then.ohms / element.ohms)
      else if (element.kind === 'capacitance' && then.kind === 'capacitance') follows += (gradient[at] ?? 0) * Math.log(then.farads / element.farads)
      else if (element.kind === 'junction' && then.kind === 'junction' && element.forward !== null && then.forward !== null) {
        follows += (gradient[at] ?? 0) * Math.log(then.forward.amperes / element.forward.amperes)
      }
    })
    const sd = (law === 'even' ? width : Math.log(width)) / Math.sqrt(3)
    const term = (follows / Math.log(step) * sd) ** 2
    variance += term
    largest = Math.max(largest, term)
  }
  const share = variance > 0 ? largest / variance : 0
  const wide = (manyTerms + (oneTerm - manyTerms) * share) * Math.sqrt(variance)
  const relative = what !== 'diode' && value > 0
  const low = relative ? value * Math.exp(-wide / value) : value - wide
  const high = relative ? value * Math.exp(wide / value) : value + wide
  return { ok: true, interval: { value, low, high, range } }
}
