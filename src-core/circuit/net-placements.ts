/** Every way two nets of a board can be probed with its supply off: in resistance and in diode test, both ways. */
import type { BoardType, TestPoint } from '../board/board-type'

export type ProbedFunction = 'resistance' | 'diode'
/** `red` and `black` are nets. */
export type NetPlacement = { red: string; black: string; function: ProbedFunction }

/** The nets a tip can reach, in the order of the board file. */
export const reachableNets = (board: BoardType): string[] =>
  [...new Set(board.testPoints.map(({ net }) => net))]

/** Resistance both ways too: where junctions lie between, what they carry of half a volt differs. Each placement is followed by its turned one. */
export const netPlacements = (board: BoardType): NetPlacement[] => {
  const nets = reachableNets(board)
  const functions: ProbedFunction[] = ['resistance', 'diode']
  return nets.flatMap((one, at) => nets.slice(at + 1).flatMap((other) => functions.flatMap((what): NetPlacement[] =>
    [{ red: one, black: other, function: what }, { red: other, black: one, function: what }])))
}

/** The test point of a net to go to: one named after a part in question, else the first. Null where a tip cannot reach it. */
export const tipFor = (board: BoardType, net: string, refs: readonly string[]): TestPoint | null => {
  const points = board.testPoints.filter((point) => point.net === net)
  return points.find(({ id }) => refs.some((ref) => id.startsWith(`${ref}.`))) ?? points[0] ?? null
}
