/** What the scorer's bench would read: true readings of a board in a state, and when two of them agree. Nothing of the diagnosis is used. */
import type { BoardType } from '../../../../src-core/board/board-type'
import type { Network } from '../../../../src-core/circuit/elements'
import type { Fault } from '../../../../src-core/circuit/faults'
import { genericDrives, type MeterDrives } from '../../../../src-core/circuit/meter-drive'
import { networkOf, type StrayLeak } from '../../../../src-core/circuit/network'
import { read, type Reader, readerOf } from '../../../../src-core/circuit/read'
import type { Spread } from '../../../../src-core/circuit/spread'
import { type BenchMeter, uOf } from './bench-meter'
import type { NetPlacement } from './placements'

/** What stands on the bench besides the faults: where in their tolerances the parts lie, leakage that is nobody's fault, and the meter. */
export type Circumstances = {
  spread: Spread
  strays: readonly StrayLeak[]
  drives: MeterDrives
  /** Changes junctions after the part models made them: a bench whose diodes are not those of the model. */
  junctions: ((network: Network) => Network) | null
}
export const nominal: Circumstances = { spread: {}, strays: [], drives: genericDrives, junctions: null }

export const stateReader = (board: BoardType, faults: readonly Fault[], { spread, strays, junctions }: Circumstances): Reader => {
  const network = networkOf(board, faults, { spread, strays })
  return readerOf(junctions === null ? network : junctions(network))
}

/** SI; Infinity is overload. @throws Error where the solver gives none: a scored board that cannot be computed must not pass in silence. */
export const trueReading = (reader: Reader, at: NetPlacement, drives: MeterDrives): number => {
  const found = read(reader, at.redNet, at.blackNet, at.function, drives)
  if (!found.ok) throw new Error(`${at.function} ${at.red} to ${at.black}: ${found.because}`)
  return found.value === 'overload' ? Infinity : found.value
}

export const readingsAt = (reader: Reader, placements: readonly NetPlacement[], drives: MeterDrives): Float64Array =>
  Float64Array.from(placements, (at) => trueReading(reader, at, drives))

export const ceilingOf = (at: NetPlacement, drives: MeterDrives): number => (at.function === 'diode' ? drives.diode.ceiling : drives.resistance.ceiling)

/** How many standard uncertainties lie between two readings of one placement; overload lies at the meter's ceiling. */
export const apart = (meter: BenchMeter, at: NetPlacement, a: number, b: number, drives: MeterDrives): number => {
  if (a === b) return 0
  const ceiling = ceilingOf(at, drives)
  const [one, other] = [Math.min(a, ceiling), Math.min(b, ceiling)]
  return Math.abs(one - other) / uOf(meter, at.function, Math.max(one, other))
}

/** Readings further apart than this are not of one class (circuit.md). */
export const agreeWithin = 3

/** First placement at which a state's readings leave those given by more than 3 u; null: the two agree everywhere. */
export const disagreement = (
  reader: Reader, given: Float64Array, placements: readonly NetPlacement[], meter: BenchMeter, drives: MeterDrives, order?: readonly number[],
): number | null => {
  const through = order ?? placements.keys()
  for (const index of through) {
    const at = placements[index]
    if (at === undefined) continue
    if (apart(meter, at, given[index] ?? NaN, trueReading(reader, at, drives), drives) > agreeWithin) return index
  }
  return null
}
