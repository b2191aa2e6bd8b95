/** Where on the picture the failed steps were measured: both test points of each, named by the parts in question. */
import type { LibraryView } from '../../src-core/contract'
import type { BenchView } from '../../src-core/run/view'
import type { Link } from '../picture/fault-links'

/**
 * One link a pair of test points: between them lies what failed, whichever way round it was measured. Its words are the
 * parts of every failed step on that pair, else the step's title; none for a step that touches nothing. Picture units.
 */
export const failedPlaces = (
  boards: LibraryView['boards'],
  bench: Pick<BenchView, 'board'>,
  result: NonNullable<BenchView['result']>,
): Link[] => {
  const board = boards.find((one) => one.id === bench.board.id && one.revision === bench.board.revision)?.board
  if (board === undefined) return []
  const shown = board.testPoints.filter((point) => point.picture === board.pictures[0]?.id)
  const pairs = new Map<string, Link & { names: string[] }>()
  for (const failed of result.failed) {
    const step = board.sequence.steps.find((one) => one.id === failed.step)
    if (step?.kind !== 'measure') continue
    const [red, black] = [step.red, step.black].map((id) => shown.find((point) => point.id === id))
    if (red === undefined || black === undefined) continue
    const pair = [red.id, black.id].sort().join(' ')
    const before = pairs.get(pair)?.names ?? []
    const names = [...new Set([...before, ...(failed.parts.length > 0 ? failed.parts : [failed.title])])]
    pairs.set(pair, { from: { x: red.x, y: red.y }, to: { x: black.x, y: black.y }, words: names.join(', '), names })
  }
  return [...pairs.values()].map(({ from, to, words }) => ({ from, to, words }))
}
