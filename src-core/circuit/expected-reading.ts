/** What a meter should read at a placement on this board, good or with faults in it. */
import type { BoardType } from '../board/board-type'
import type { MeterFunction } from '../meter/reading'
import type { Network } from './elements'
import type { Fault } from './faults'
import type { MeterDrives } from './meter-drive'
import { networkOf, type NetworkOptions } from './network'
import { type ExpectedReading, read, type Reader, readerOf } from './read'

/** Ids of the test points under the tips. */
export type TipPlacement = { red: string; black: string }

/** Networks are not changed once they are made: what was made ready of one is kept for as long as it is. */
const ready = new WeakMap<Network, Reader>()
export const readerFor = (network: Network): Reader => {
  const reader = ready.get(network) ?? readerOf(network)
  ready.set(network, reader)
  return reader
}

/** From a network that is at hand; `red` and `black` are nets. */
export const readsAcross = (network: Network, red: string, black: string, what: MeterFunction, drives?: MeterDrives): ExpectedReading =>
  read(readerFor(network), red, black, what, drives)

const netOf = (board: BoardType, testPoint: string): string | null => board.testPoints.find((point) => point.id === testPoint)?.net ?? null

/**
 * The reading at a placement, with the supply off, the stores empty and the links open; dc-voltage is therefore 0.
 * Not ok: an unknown test point, a function that is not computed, or a network that does not settle; `because` says which.
 */
export const reads = (
  board: BoardType, faults: readonly Fault[], placement: TipPlacement, what: MeterFunction,
  options: NetworkOptions & { drives?: MeterDrives } = {},
): ExpectedReading => {
  const [red, black] = [netOf(board, placement.red), netOf(board, placement.black)]
  if (red === null) return { ok: false, because: `${board.name} has no test point ${placement.red}.` }
  if (black === null) return { ok: false, because: `${board.name} has no test point ${placement.black}.` }
  return readsAcross(networkOf(board, faults, options), red, black, what, options.drives)
}
