/** The single faults that may be drawn on a board: those with a prior, at given figures. */
import type { BoardType } from '../../../../src-core/board/board-type'
import { priorsOf } from '../../../../src-core/circuit/fault-priors'
import type { PartFault } from '../../../../src-core/circuit/faults'
import { type FaultFigures, usualFaults } from '../../../../src-core/circuit/usual-faults'

/** In the order of the board file. A resistor, say, has no leak and is never short. */
export const possibleFaults = (board: BoardType, figures: FaultFigures): PartFault[] => {
  const possible = new Set(priorsOf(board).map(({ part, kind }) => `${part.ref} ${kind}`))
  return usualFaults(board, figures).filter(({ ref, kind }) => possible.has(`${ref} ${kind}`))
}

/** What a part called masked may be hiding: besides those, that it failed open, which for a protector or a capacitor shows nowhere. */
export const hiddenFaults = (board: BoardType, figures: FaultFigures): PartFault[] => {
  const possible = possibleFaults(board, figures)
  return [...usualFaults(board, figures).filter(({ ref, pin, kind }) => kind === 'open' && !possible.some((one) => one.ref === ref && one.pin === pin && one.kind === 'open')), ...possible]
}
