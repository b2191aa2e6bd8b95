/** Why a board cannot be practised on, or null. */
import type { BoardType } from '../board/board-type'
import type { MeterFunction } from '../meter/reading'

/** @param measured the functions the practice meter knows. */
export const refusalToPractise = ({ sequence: { steps } }: Pick<BoardType, 'sequence'>, measured: readonly MeterFunction[]): string | null => {
  const beyond = steps.find((step) => step.kind === 'measure' && !measured.includes(step.function))
  if (beyond?.kind === 'measure') return `The practice meter cannot measure ${beyond.function}, which “${beyond.title}” asks for. Practise on another board.`
  const lifting = steps.find((step) => step.kind === 'do' && (step.leaves ?? []).some(({ is }) => is !== 'back'))
  return lifting === undefined ? null : `Nothing can be lifted or taken out of the practice board, which “${lifting.title}” asks for. Practise on another board.`
}
