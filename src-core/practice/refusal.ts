/** Why a board cannot be practised on, or null. */
import { isProbed, type BoardType } from '../board/board-type'
import type { MeterFunction } from '../meter/reading'

/** @param measured the functions the practice meter knows. @param by whose hand it is. */
export const refusalToPractise = ({ sequence: { steps } }: Pick<BoardType, 'sequence'>, measured: readonly MeterFunction[], by: 'itself' | 'hand' = 'itself'): string | null => {
  const beyond = steps.find((step) => isProbed(step) && !measured.includes(step.function))
  if (beyond !== undefined && isProbed(beyond)) return `The practice meter cannot measure ${beyond.function}, which “${beyond.title}” asks for. Practise on another board.`
  const unlisted = steps.find((step) => step.kind === 'walk' && !(step.points ?? [0]).every((point) => typeof point === 'string'))
  return unlisted !== undefined && by === 'itself' ? `The practice hand cannot know the points of “${unlisted.title}”, which are no test points. Practise it by hand.` : null
}
