/** Why a board cannot be practised on, or null. */
import type { BoardType } from '../board/board-type'
import type { MeterFunction } from '../meter/reading'

/** @param measured the functions the practice meter knows. */
export const refusalToPractise = ({ sequence: { steps } }: Pick<BoardType, 'sequence'>, measured: readonly MeterFunction[]): string | null => {
  const beyond = steps.find((step) => step.kind === 'measure' && !measured.includes(step.function))
  return beyond?.kind !== 'measure' ? null
    : `The practice meter cannot measure ${beyond.function}, which “${beyond.title}” asks for. Practise on another board.`
}
