/** One board of the scoring: which board type, its hidden faults, its tolerances, stray leakage and meter, all from one seed. */
import type { BoardType } from '../../../../src-core/board/board-type'
import { drawCase } from '../../../../src-core/circuit/draw-faults'
import type { PartFault } from '../../../../src-core/circuit/faults'
import { genericDrives, type MeterDrive, type MeterDrives } from '../../../../src-core/circuit/meter-drive'
import { drawSpread } from '../../../../src-core/circuit/spread'
import { type Random, seededRandom } from '../../../../src-core/circuit/seeded-random'
import { type BenchMeter, drawGains, genericMeter, shownOf } from './bench-meter'
import { allowedPlacements, type NetPlacement } from './placements'
import { type Circumstances, readingsAt, stateReader } from './state-readings'

/** How the bench differs from what the diagnosis is told. */
export type Twist = {
  name: string
  /** Each kind of part fails so many times as often as its prior, or as seldom; 1: as its prior says. */
  odds: number
  /** Each figure of the meter's true source lies within ± this share of what the diagnosis is told. */
  sources: number
  junctions: Circumstances['junctions']
  /** Other boards than the usual ones. */
  cases?: (board: BoardType, random: Random) => ReturnType<typeof drawCase>
}
export const plain: Twist = { name: 'as stated', odds: 1, sources: 0, junctions: null }

export type DrawnBoard = {
  seed: number
  board: BoardType
  faults: PartFault[]
  circumstances: Circumstances
  /** The meter's source as the diagnosis is told it. */
  told: MeterDrives
  meter: BenchMeter
  placements: NetPlacement[]
  /** True readings at the allowed placements. */
  truth: Float64Array
  /** One touch: what the display shows, and whether a figure there was missed for want of contact. */
  touch: (index: number) => { value: number | 'overload'; missed: boolean }
}

/** Of confirmed air values so many are wrong: no contact (formats.md). */
const wrongAir = 0.01

const twisted = (drives: MeterDrives, share: number, random: Random): MeterDrives => {
  const factor = (): number => 1 + share * (2 * random() - 1)
  const each = (drive: MeterDrive): MeterDrive => {
    const [volts, ohms, amperes] = [factor(), factor(), factor()]
    return { ...drive, ranges: drive.ranges.map((range) => ({ ...range, volts: range.volts * volts, ohms: range.ohms * ohms, amperes: range.amperes * amperes })) }
  }
  return { resistance: each(drives.resistance), continuity: each(drives.continuity), diode: each(drives.diode) }
}

/** With tilted odds each kind of part fails three times as often, or a third as often, as its prior says; which, the seed says. */
const tiltedCase = (board: BoardType, tilt: number, random: Random): ReturnType<typeof drawCase> => {
  if (tilt === 1) return drawCase(board, random)
  const kinds = [...new Set(board.parts.map(({ kind }) => kind))]
  const likely = new Map(kinds.map((kind) => [kind, random() < 0.5 ? 1 : 1 / tilt ** 2]))
  const kindOf = new Map(board.parts.map(({ ref, kind }) => [ref, kind]))
  for (;;) {
    const drawn = drawCase(board, random)
    const chance = drawn.faults.reduce((product, { ref }) => product * (likely.get(kindOf.get(ref) ?? 'connector') ?? 1), 1)
    if (random() < chance) return drawn
  }
}

/** The same seed draws the same board of the list, faults, tolerances, leakage and meter errors. */
export const drawBoard = (boards: readonly BoardType[], seed: number, twist = plain, meter = genericMeter): DrawnBoard => {
  const random = seededRandom(seed)
  const board = boards[seed % boards.length]
  if (board === undefined) throw new RangeError('There are no boards to draw from.')
  const { faults, strays } = (twist.cases ?? ((of, by) => tiltedCase(of, twist.odds, by)))(board, random)
  const spread = drawSpread(board, random)
  const drives = twisted(genericDrives, twist.sources, seededRandom(seed + 1e6))
  const circumstances: Circumstances = { spread, strays, drives, junctions: twist.junctions }
  const placements = allowedPlacements(board)
  const gains = drawGains(meter, random)
  let read: { truth: Float64Array; missing: number } | null = null
  /** Worked out when first asked for. */
  const reading = (): { truth: Float64Array; missing: number } => {
    if (read !== null) return read
    const truth = readingsAt(stateReader(board, faults, circumstances), placements, drives)
    const air = truth.filter((value) => value === Infinity).length / Math.max(1, truth.length)
    read = { truth, missing: wrongAir * Math.min(1, air / Math.max(1e-9, 1 - air)) }
    return read
  }
  return {
    seed, board, faults, circumstances, told: genericDrives, meter, placements, get truth() { return reading().truth },
    touch: (index) => {
      const { truth, missing } = reading()
      const [at, value] = [placements[index], truth[index]]
      if (at === undefined || value === undefined) throw new RangeError(`There is no placement ${index}.`)
      if (value === Infinity) return { value: 'overload', missed: false }
      if (random() < missing) return { value: 'overload', missed: true }
      return { value: shownOf(meter, gains, at.function, value, random), missed: false }
    },
  }
}
