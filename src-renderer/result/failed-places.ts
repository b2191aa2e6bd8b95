/** Where on the picture the failed steps were measured, named as the steps are. */
import type { LibraryView } from '../../src-core/contract'
import type { BenchView } from '../../src-core/run/view'
import type { Ring } from '../picture/board-picture'

/**
 * One ring a failed step: on the tips named after its parts ("R3.2" for R3), else on the tip whose net fewest pins share,
 * for the other is most often the common one; none for a step that touches nothing.
 */
export const failedPlaces = (
  boards: LibraryView['boards'],
  bench: Pick<BenchView, 'board'>,
  result: NonNullable<BenchView['result']>,
): Ring[] => {
  const board = boards.find((one) => one.id === bench.board.id && one.revision === bench.board.revision)?.board
  if (board === undefined) return []
  return result.failed.flatMap((failed): Ring[] => {
    const step = board.sequence.steps.find((one) => one.id === failed.step)
    if (step?.kind !== 'measure') return []
    const tips = [step.red, step.black].flatMap((id) => board.testPoints.filter((point) => point.id === id))
    const named = tips.filter((tip) => failed.parts.some((ref) => tip.id === ref || tip.id.startsWith(`${ref}.`)))
    const pinsOn = (net: string): number =>
      board.parts.reduce((sum, part) => sum + Object.values(part.pins).filter((own) => own === net).length, 0)
    const spots = named.length > 0 ? named : tips.toSorted((a, b) => pinsOn(a.net) - pinsOn(b.net)).slice(0, 1)
    if (spots.length === 0) return []
    const mean = (values: number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length
    return [{ x: mean(spots.map(({ x }) => x)), y: mean(spots.map(({ y }) => y)), words: failed.title }]
  })
}
