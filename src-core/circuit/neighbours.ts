/** Which nets lie beside one another on a board, so that a solder bridge, a splash or a wet trace could join them. */
import type { BoardType } from '../board/board-type'

/** Test points closer than this share of the picture's diagonal count as adjacent. Our choice: about two part lengths. */
const adjacentShare = 0.06

const pairs = <T>(list: readonly T[]): [T, T][] => list.flatMap((one, at) => list.slice(at + 1).map((other): [T, T] => [one, other]))
const beside = <T>(list: readonly T[]): [T, T][] => list.flatMap((one, at): [T, T][] => { const next = list[at + 1]; return next === undefined ? [] : [[one, next]] })

/**
 * Pairs of different nets, each once, alphabetical within a pair: those the board file lists, else nets at the ends of one part (at pins that
 * follow one another in the file, where it has more than four) and nets of test points that lie close together on one picture.
 */
export const neighbouringNets = (board: BoardType): [string, string][] => {
  const ofParts = board.parts.flatMap(({ pins }) => { const nets = Object.values(pins); return nets.length > 4 ? beside(nets) : pairs(nets) })
  const ofPoints = pairs(board.testPoints).flatMap(([one, other]): [string, string][] => {
    const picture = board.pictures.find(({ id }) => id === one.picture)
    const near = picture !== undefined && one.picture === other.picture
      && Math.hypot(one.x - other.x, one.y - other.y) <= adjacentShare * Math.hypot(picture.width, picture.height)
    return near ? [[one.net, other.net]] : []
  })
  const unique = new Map<string, [string, string]>()
  for (const [a, b] of board.neighbours ?? [...ofParts, ...ofPoints]) if (a !== b) unique.set([a, b].sort().join('/'), a < b ? [a, b] : [b, a])
  return [...unique.values()]
}
