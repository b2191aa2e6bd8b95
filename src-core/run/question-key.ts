/** Part of the key of a question about a board: what its sequence measures. Runs behind a repair have the file of the run before and other steps. */
import type { BoardType } from '../board/board-type'

/** Equal for two sequences that measure the same, of the board in the same states. JSON text. */
export const sequenceKey = ({ sequence: { steps } }: Pick<BoardType, 'sequence'>): string => JSON.stringify(steps.map((step) => {
  switch (step.kind) {
    case 'measure': return [step.id, step.red, step.black, step.function, step.powered === true, step.limits ?? null, step.source ?? null]
    case 'do': return [step.id, step.leaves ?? []]
    case 'look':
    case 'walk':
    case 'watch': return [step.id]
  }
}))
