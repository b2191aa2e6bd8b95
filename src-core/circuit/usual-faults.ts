/** The single faults a repairer thinks of first on a board: each part and input, each kind it can have, at usual figures. */
import type { BoardType } from '../board/board-type'
import { placesOf } from '../board/part-places'
import { allowedAt, type Bridge, type Fault, type FaultKind, type PartFault, usualShortOhms } from './faults'
import { neighbouringNets } from './neighbours'

/** The ohms of shorts and leaks and the factors of drifts that stand for all of their kind. */
export type FaultFigures = { shortOhms: readonly number[]; leakOhms: readonly number[]; driftFactors: readonly number[] }

/** Leaks across their drawn range of 50 Ω to 50 kΩ (circuit.md), a decade apart; drifts to twice and to half the value. */
export const usualFigures: FaultFigures = { shortOhms: [usualShortOhms], leakOhms: [100, 1000, 10_000], driftFactors: [2, 0.5] }

/** The drawn ranges of circuit.md, ends and all, in steps of 1.8 and less; ascending. */
export const closeFigures: FaultFigures = {
  shortOhms: [0.05, 0.09, 0.16, 0.28, 0.5, 0.9, 1.6, 2.8, 5],
  leakOhms: [50, 90, 160, 280, 500, 900, 1600, 2800, 5000, 9000, 16_000, 28_000, 50_000],
  driftFactors: [0.1, 0.15, 0.22, 0.33, 0.5, 0.67, 1.5, 2, 3, 4.5, 6.7, 10],
}

const ofKind = (ref: string, pin: string | null, kind: FaultKind, { shortOhms, leakOhms, driftFactors }: FaultFigures): PartFault[] => {
  switch (kind) {
    case 'open': return [{ ref, pin, kind }]
    case 'reversed': return [{ ref, pin, kind }]
    case 'short': return shortOhms.map((ohms) => ({ ref, pin, kind, ohms }))
    case 'leaky': return leakOhms.map((ohms) => ({ ref, pin, kind, ohms }))
    case 'drifted': return driftFactors.map((factor) => ({ ref, pin, kind, factor }))
  }
}

/** In the order of the board file, every place of a part on its own. */
export const usualFaults = (board: BoardType, figures = usualFigures): PartFault[] => board.parts.flatMap((part) =>
  placesOf(part).flatMap(({ place }) => allowedAt(part, place).flatMap((kind) => ofKind(part.ref, place, kind, figures))))

/** One bridge for each pair of neighbouring nets. */
export const usualBridges = (board: BoardType): Bridge[] => neighbouringNets(board).map((nets) => ({ kind: 'bridge', nets, ohms: usualShortOhms }))

/** The same fault with another figure: ohms, or the factor of a drift; others have none. */
export const withFigure = (fault: Fault, figure: number): Fault => {
  switch (fault.kind) {
    case 'open': case 'reversed': return fault
    case 'short': case 'leaky': case 'bridge': return { ...fault, ohms: figure }
    case 'drifted': return { ...fault, factor: figure }
  }
}
