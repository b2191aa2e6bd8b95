/** What is hidden in a practice board: a drawn fault; nothing as long as one of its walks is still to be learned, for a faulty board teaches the fault. */
import type { BoardType } from '../board/board-type'
import { drawFaults } from '../circuit/draw-faults'
import type { PartFault } from '../circuit/faults'
import type { Random } from '../circuit/seeded-random'
import type { KnownWalks } from '../run/walk'

/** @param walks what practice knows of its walks; undefined: nothing. */
export const isTaughtFirst = ({ sequence: { steps } }: Pick<BoardType, 'sequence'>, walks: KnownWalks | undefined): boolean => steps.some(({ id, kind }) => kind === 'walk' && walks?.[id] === undefined)

export const hiddenFaults = (board: BoardType, walks: KnownWalks | undefined, random: Random): PartFault[] => (isTaughtFirst(board, walks) ? [] : drawFaults(board, random))
