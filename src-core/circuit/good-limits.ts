/** Limits from what good boards read at a placement, wherever in their tolerances their parts lie and between two temperatures. */
import type { BoardType } from '../board/board-type'
import { shortOhms } from '../metrology/interval'
import type { Limits } from '../metrology/limits'
import type { Accuracy } from '../meter/instrument'
import { expandedUncertainty } from '../metrology/uncertainty'
import { drawnReadings, type DrawnReadings, type ExpectedInterval, type ReadAt } from './expected-interval'
import { genericDrives, type MeterDrives } from './meter-drive'
import type { BoardState } from './network'
import type { Random } from './seeded-random'

/** Boards drawn; with the uncertainty of the meter beside it this holds 300 others of every sample board (its test). */
const usualDraws = 200
/**
 * What those drawn do not reach: so much of their range is added at either end, in the logarithm; more where they differ by half or more, as
 * where leakage decides, whose corners are drawn seldom. Our choice, checked by the same test.
 */
const beyond = (range: number): number => (range > 1.5 ? 0.4 : 0.15)
/** Of a bench, °C. Our choice. */
export const usualCelsius: readonly [coldest: number, warmest: number] = [15, 35]
/** Readings of usual displays lie in ranges of 600, 6000, … with 6000 counts (common practice, no source). */
const display = 6000
const lowestRange = ({ function: what }: Pick<ReadAt, 'function'>): number => (what === 'diode' ? 6 : what === 'capacitance' ? 6e-9 : 600)

/** One count of a usual display that shows this value. */
export const countAt = (at: Pick<ReadAt, 'function'>, value: number): number => {
  let fullScale = lowestRange(at)
  while (Math.abs(value) > fullScale && fullScale < 1e8) fullScale *= 10
  return fullScale / display
}

/** What is stated of a meter for a reading of `value`; null: nothing, and that of a usual hand-held meter stands in. */
export type AccuracyAt = (what: ReadAt['function'], value: number) => Accuracy | null
const notStated: AccuracyAt = () => null

/** Expanded uncertainty (k = 2) of a reading, SI; of a usual hand-held meter unless stated. Its counts are those of a usual display. */
export const usualU = (at: Pick<ReadAt, 'function'>, value: number, accuracyAt = notStated): number => expandedUncertainty(value, countAt(at, value), null, accuracyAt(at.function, value))?.U ?? 0

/** To three digits, away from what lies between the limits. */
export const outward = (value: number, way: 'down' | 'up'): number => {
  if (value === 0) return 0
  const step = 10 ** (Math.floor(Math.log10(Math.abs(value))) - 2)
  return Number(((way === 'down' ? Math.floor(value / step) : Math.ceil(value / step)) * step).toPrecision(6))
}

/** `interval`: what good boards read; `limits` are wider by the uncertainty of the meter, and rounded outward. */
export type GoodReading = { ok: true; interval: ExpectedInterval; limits: Limits } | { ok: false; because: string }

const shown = (value: number): number | 'overload' => (value === Infinity ? 'overload' : value)

const limitsOf = (at: ReadAt, lo: number, hi: number, accuracyAt: AccuracyAt): Limits | null => {
  if (lo === Infinity) return 'open'
  const least = outward(Math.max(0, lo - usualU(at, lo, accuracyAt)), 'down')
  if (hi === Infinity) return least > 0 ? { atLeast: least } : null
  const most = outward(hi + usualU(at, hi, accuracyAt), 'up')
  // Any meter whose step is a tenth of an ohm tells a short; a narrower limit it could not judge.
  if ((at.function === 'resistance' || at.function === 'continuity') && most <= 2 * shortOhms && lo < shortOhms && hi < shortOhms) return 'short'
  return least > 0 ? { between: [least, most] } : { atMost: most }
}

const goodReadingOf = (at: ReadAt, drawn: DrawnReadings, accuracyAt: AccuracyAt): GoodReading => {
  if (!drawn.ok) return drawn
  const { nominal: { value, range } } = drawn
  const values = [value === 'overload' ? Infinity : value, ...drawn.values]
  const [low, high] = [Math.min(...values), Math.max(...values)]
  if (low < 0) return { ok: false, because: 'A good board reads below zero here: this meter has its plus on the black lead. Exchange red and black.' }
  const further = low > 0 && high < Infinity ? (high / low) ** beyond(high / low) : 1
  const [lo, hi] = [low / further, high * further]
  const limits = limitsOf(at, lo, hi, accuracyAt)
  return limits === null ? { ok: false, because: 'A good board may read anything here, so no reading would tell it from a bad one.' }
    : { ok: true, interval: { value, low: shown(lo), high: shown(hi), range }, limits }
}

/** `accuracyAt`: of the meter; a usual one's where left out, or where it says nothing. */
export type GoodOptions = { accuracyAt?: AccuracyAt; drives?: MeterDrives; draws?: number; celsius?: readonly [coldest: number, warmest: number]; state?: BoardState }

/** One for each placement, in their order. `random` gives numbers in [0, 1): the same numbers give the same limits. */
export const goodReadings = (board: BoardType, placements: readonly ReadAt[], random: Random, options: GoodOptions = {}): GoodReading[] => {
  const { drives = genericDrives, draws = usualDraws, celsius: [coldest, warmest] = usualCelsius, state = [], accuracyAt = notStated } = options
  // Half of them somewhere between, the others at either end.
  const celsiusOf = (drawn: number, chance: Random): number =>
    (drawn % 2 === 0 ? coldest + (warmest - coldest) * chance() : drawn % 4 === 1 ? coldest : warmest)
  const drawn = drawnReadings(board, placements, { drives, random, boards: draws, celsiusOf, ...(state.length === 0 ? {} : { state }) })
  return placements.flatMap((at, index) => { const own = drawn[index]; return own === undefined ? [] : [goodReadingOf(at, own, accuracyAt)] })
}

/** Null where there are no limits to give. */
export const goodLimits = (board: BoardType, placements: readonly ReadAt[], random: Random, options: GoodOptions = {}): (Limits | null)[] =>
  goodReadings(board, placements, random, options).map((one) => (one.ok ? one.limits : null))
