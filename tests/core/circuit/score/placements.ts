/** The placements a scored diagnosis may use: pairs of nets that have a test point, in resistance one way and in diode test both ways. */
import type { BoardType } from '../../../../src-core/board/board-type'
import type { MeterFunction } from '../../../../src-core/meter/reading'

/** Test points under the tips, and the function. */
export type Placement = { red: string; black: string; function: MeterFunction }
/** A placement with the nets its test points lie on. */
export type NetPlacement = Placement & { redNet: string; blackNet: string }

/** The first test point of each net that has one, in the order of the board file. */
const tipsOf = (board: BoardType): { id: string; net: string }[] =>
  board.testPoints.filter(({ net }, at, all) => all.findIndex((other) => other.net === net) === at)

export const allowedPlacements = (board: BoardType): NetPlacement[] => {
  const tips = tipsOf(board)
  return tips.flatMap((one, at) => tips.slice(at + 1).flatMap((other): NetPlacement[] => {
    const forward = { red: one.id, black: other.id, redNet: one.net, blackNet: other.net }
    const backward = { red: other.id, black: one.id, redNet: other.net, blackNet: one.net }
    return [{ ...forward, function: 'resistance' }, { ...forward, function: 'diode' }, { ...backward, function: 'diode' }]
  }))
}

/** As the allowed placement it is the same as; resistance is one way, and any test point of a net stands for the net. Null: not allowed. */
export const sameAllowed = (board: BoardType, allowed: readonly NetPlacement[], asked: Placement): NetPlacement | null => {
  const net = (id: string): string | undefined => board.testPoints.find((point) => point.id === id)?.net
  const [red, black] = [net(asked.red), net(asked.black)]
  return allowed.find((one) => one.function === asked.function && ((one.redNet === red && one.blackNet === black)
    || (asked.function === 'resistance' && one.redNet === black && one.blackNet === red))) ?? null
}
