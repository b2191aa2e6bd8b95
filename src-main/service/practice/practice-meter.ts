/** The practice meter: a simulated board under a simulated meter. Time goes in, the bytes a real meter would have sent come out. */
import type { BoardType } from '../../../src-core/board/board-type'
import type { Fault } from '../../../src-core/circuit/faults'
import { isSameBoard, liveVolts, type BoardNow } from '../../../src-core/practice/board-now'
import { networkOf } from '../../../src-core/circuit/network'
import { normalNoise, seededRandom } from '../../../src-core/circuit/seeded-random'
import { drawSpread } from '../../../src-core/circuit/spread'
import type { MeterDescription } from '../../../src-core/meter/description'
import type { MeterFunction } from '../../../src-core/meter/reading'
import { type Seconds, seconds } from '../../../src-core/quantity/units'
import { lineEncoder } from './encode-line'
import { type Hand, inTheAir, sameTips } from '../../../src-core/practice/hand'
import { type Settled, settledReading } from './settled-reading'

export type PracticeMeter = {
  /** Hand and dial are so from `at` on. @throws Error for a test point or a function that is not there; the hand stays as it was. */
  setHand: (hand: Hand, at: Seconds) => void
  hand: () => Hand
  /** The board is so from `at` on: the parts that are good keep what they were drawn as. */
  setBoard: (now: BoardNow, at: Seconds) => void
  /** Every line sent since the last call, up to and with `at`. */
  bytesUntil: (at: Seconds) => SentLine[]
}
export type SentLine = { at: Seconds; bytes: Uint8Array }

export type PracticeSetup = {
  board: BoardType
  faults: readonly Fault[]
  seed: number
  description: MeterDescription
  startsAt: Seconds
  /** 10 unless said: practice plays quickly. */
  conversionsPerSecond?: number
}

const usualRate = 10
/** Noise of a conversion in counts (common practice, no source). */
const noiseCounts = 0.3
/** Hum on open leads in DC volts, which changes sign from conversion to conversion. */
const humVolts = 0.001
/** Largest full scale a function ranges to, SI. Generic figures. */
const topRange: Record<MeterFunction, number> = {
  'dc-voltage': 1000, 'ac-voltage': 1000, resistance: 6e7, continuity: 1, diode: 1, capacitance: 0.1, inductance: 100, frequency: 1e7,
  temperature: 1, 'dc-current': 10, 'ac-current': 10,
}

const rangesOf = (description: MeterDescription, what: MeterFunction): { ranges: number[]; counts: number } => {
  const described = Object.values(description.functions).find(({ is }) => is === what)
  if (!described) throw new Error(`${description.name} has no ${what} among its functions; the practice meter cannot show it.`)
  const ranges = [described.lowestRange]
  for (let next = described.lowestRange * 10; next <= topRange[what] * 1.001; next *= 10) ranges.push(Number(next.toPrecision(12)))
  return { ranges, counts: described.counts }
}

/** The same meter with the conversion time of practice, for a bench that is to know how fast this one is. */
export const quickened = (description: MeterDescription, conversionsPerSecond = usualRate): MeterDescription => ({
  ...description,
  functions: Object.fromEntries(Object.entries(description.functions).map(([key, one]) =>
    [key, { ...one, conversionSeconds: 1 / conversionsPerSecond }])),
})

type Placed = { hand: Hand; since: number; settled: Settled }

/**
 * The same setup, hands and times give the same bytes. The parts are drawn inside their tolerances, then the faults are put in.
 * @throws Error when the description's lines cannot be written (see `lineEncoder`).
 */
export const createPracticeMeter = (setup: PracticeSetup): PracticeMeter => {
  const { board, description } = setup
  const random = seededRandom(setup.seed)
  const spread = drawSpread(board, random)
  // Of its own seed, so that a run beside a good board has the same board under test as one without.
  const spreadOfGood = drawSpread(board, seededRandom(setup.seed + 1))
  const placedOn = (now: BoardNow) => {
    const network = networkOf(board, now.faults, { spread: now.good === true ? spreadOfGood : spread, state: [...now.state] })
    return (hand: Hand): Settled => settledReading(board, network, hand, (red, black) => liveVolts(board, now, red, black))
  }
  let lies: BoardNow = { faults: setup.faults, state: [], powered: false }
  let settledOn = placedOn(lies)
  const encode = lineEncoder(description)
  const period = 1 / (setup.conversionsPerSecond ?? usualRate)
  const first = Object.values(description.functions)[0]?.is ?? 'resistance'

  let placed: Placed = { hand: { tips: 'lifted', function: first }, since: -Infinity, settled: { value: 'overload', tau: 0 } }
  placed = { ...placed, settled: settledOn(placed.hand) }
  let conversions = 0
  let sinceContact = 99
  let rangeAt = 99

  /** One conversion that ends at `at`; `whole` is false when the tips or the dial moved during it. */
  const convert = (at: number, whole: boolean): Uint8Array => {
    const { hand, since, settled } = placed
    const what = hand.function
    const { ranges, counts } = rangesOf(description, what)
    const top = ranges.length - 1
    const air = inTheAir(hand.tips)
    let value = settled.value
    if (value !== 'overload' && settled.tau > 0) value *= 1 - Math.exp(-Math.max(0, at - since) / settled.tau)
    if (air && what === 'dc-voltage') value = (conversions % 2 === 0 ? 1 : -1) * humVolts * (0.8 + 0.4 * random())
    if (!whole && value !== 'overload' && what !== 'dc-voltage') {
      // Part of this conversion was air or the other end of the dial: half of them overload, the others read too high.
      value = random() < 0.5 ? 'overload' : value * (1.05 + random())
    }
    if (value === 'overload') {
      rangeAt = top
      return encode({ function: what, value: 'overload', range: ranges[top] ?? 1 })
    }
    const magnitude = Math.abs(value)
    const found = ranges.findIndex((range) => magnitude <= range * 0.99)
    const target = found < 0 ? top : found
    rangeAt = Math.min(rangeAt, top)
    rangeAt = target > rangeAt ? target : sinceContact < 2 && rangeAt > target + 1 ? target + 1 : target
    const range = ranges[rangeAt] ?? 1
    const count = range / counts
    if (magnitude > range) return encode({ function: what, value: value > 0 ? 'overload' : 'negative-overload', range })
    const shown = Math.round(value / count + noiseCounts * normalNoise(random)) * count
    return encode({ function: what, value: value >= 0 && what !== 'dc-voltage' ? Math.max(0, shown) : shown, range })
  }

  let waiting: SentLine[] = []
  const produceUntil = (at: number): void => {
    for (let end = setup.startsAt + (conversions + 1) * period; end <= at + 1e-9; end = setup.startsAt + (conversions + 1) * period) {
      sinceContact = Math.floor((end - placed.since) / period)
      waiting = [...waiting, { at: seconds(end), bytes: convert(end, placed.since <= end - period + 1e-9) }]
      conversions += 1
    }
  }

  return {
    hand: () => placed.hand,
    setHand: (hand, at) => {
      if (hand.function === placed.hand.function && sameTips(hand.tips, placed.hand.tips)) return
      rangesOf(description, hand.function)
      produceUntil(at)
      placed = { hand, since: at, settled: settledOn(hand) }
    },
    setBoard: (now, at) => {
      if (isSameBoard(now, lies)) return
      produceUntil(at)
      lies = now
      settledOn = placedOn(now)
      placed = { ...placed, since: at, settled: settledOn(placed.hand) }
    },
    bytesUntil: (at) => {
      produceUntil(at)
      const sent = waiting
      waiting = []
      return sent
    },
  }
}
