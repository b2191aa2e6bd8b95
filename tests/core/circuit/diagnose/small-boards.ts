/** Boards of a few parts, and readings of them as a meter would give them. */
import type { BoardType } from '../../../../src-core/board/board-type'
import type { Part } from '../../../../src-core/board/part'
import { allowedPlacements } from '../../../../src-core/circuit/diagnose/allowed-placements'
import { usualUncertainty } from '../../../../src-core/circuit/diagnose/allowed-placements'
import type { Placement } from '../../../../src-core/circuit/diagnosis'
import type { Fault } from '../../../../src-core/circuit/faults'
import { genericDrives } from '../../../../src-core/circuit/meter-drive'
import { networkOf, type NetworkOptions } from '../../../../src-core/circuit/network'
import { read, readerOf } from '../../../../src-core/circuit/read'
import type { FileReading, ReadingsFile } from '../../../../src-core/circuit/readings-file'

/** A board of these parts; a test point on every net but those named. */
export const boardOf = (parts: Part[], untested: readonly string[] = []): BoardType => {
  const nets = [...new Set(parts.flatMap(({ pins }) => Object.values(pins)))]
  return {
    schema: 'probewright/board-type/1', id: 'small', name: 'Small', revision: 'A', hazard: 'extra-low', mainsReferenced: false, cautions: [],
    pictures: [{ id: 'top', file: 'top.svg', width: 100, height: 100 }], nets,
    testPoints: nets.filter((net) => !untested.includes(net)).map((net) => ({ id: `TP_${net}`, net, picture: 'top', x: 1, y: 1, words: net })),
    parts, energyStores: [], disconnect: [],
    sequence: { id: 'none', version: 1, steps: [{ kind: 'look', id: 'look', title: 'Look', parts: [], then: [], words: 'Look.' }] },
  }
}

/** A lifted leg lies on a net of its own name. */
const netOf = (board: BoardType, id: string): string => (id.startsWith('~') ? id : board.testPoints.find((point) => point.id === id)?.net ?? '')

export const readingOf = (board: BoardType, faults: readonly Fault[], placement: Placement, options: NetworkOptions = {}): FileReading => {
  const found = read(readerOf(networkOf(board, faults, options)), netOf(board, placement.red), netOf(board, placement.black), placement.function)
  if (!found.ok) throw new Error(found.because)
  const { value } = found
  return value === 'overload' ? { ...placement, value, ceiling: placement.function === 'diode' ? genericDrives.diode.ceiling : genericDrives.resistance.ceiling, evidence: 'proven' }
    : { ...placement, value, U: 2 * usualUncertainty(placement.function, value), k: 2, evidence: 'steady' }
}

export const fileOf = (board: BoardType, readings: FileReading[]): ReadingsFile =>
  ({ schema: 'probewright/readings/1', board: { id: board.id, revision: board.revision }, state: [], readings })

/** What a meter reads at every allowed placement. */
export const everyReading = (board: BoardType, faults: readonly Fault[], options: NetworkOptions = {}): ReadingsFile =>
  fileOf(board, allowedPlacements(board).map(({ placement }) => readingOf(board, faults, placement, options)))

export const resistor = (ref: string, value: number, a: string, b: string, tolerance = 0.05): Part => ({ ref, kind: 'resistor', value, tolerance, pins: { 1: a, 2: b } })
export const diode = (ref: string, anode: string, cathode: string): Part => ({ ref, kind: 'diode', pins: { anode, cathode } })
