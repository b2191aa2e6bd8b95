/** Where on a board's first picture each part is to be looked for: where the board file says, else between the test points of its nets that lie closest together. */
import type { BoardType, Part, TestPoint } from './board-type'

export type PartSpot = { ref: string; x: number; y: number }
type Spot = PartSpot & { /** The board file says it: it is not moved. */ stated: boolean }

/** Guessed spots closer to another than this share of the picture's diagonal are moved off, so that what is drawn at them can be told apart. */
const apartShare = 0.06
const rounds = 80

const middleOf = (points: readonly { x: number; y: number }[]): { x: number; y: number } => ({
  x: points.reduce((sum, { x }) => sum + x, 0) / points.length, y: points.reduce((sum, { y }) => sum + y, 0) / points.length,
})
const rounded = (at: number): number => Math.round(at * 10) / 10
const distance = (a: { x: number; y: number }, b: { x: number; y: number }): number => Math.hypot(a.x - b.x, a.y - b.y)

/** One point of each net, as close together as they come from any point of the first net. */
const closest = (nets: readonly TestPoint[][]): TestPoint[] => {
  const [first = [], ...others] = nets
  const sets = first.map((start) => [start, ...others.flatMap((points) => {
    const [near] = [...points].sort((a, b) => distance(a, start) - distance(b, start))
    return near === undefined ? [] : [near]
  })])
  const spreadOf = (points: readonly TestPoint[]): number => { const middle = middleOf(points); return points.reduce((sum, one) => sum + distance(one, middle), 0) }
  return sets.reduce((best, one) => (best.length === 0 || spreadOf(one) < spreadOf(best) ? one : best), [] as TestPoint[])
}

/** A net with so many points runs all over the board and tells no place, unless a part has no other. */
const widespread = 3

const byName = (points: readonly TestPoint[], ref: string): TestPoint[] => points.filter(({ id }) => id === ref || id.startsWith(`${ref}.`))

/** From a point on the part, as a share of the picture's diagonal: a point further off, of a net that it shares with other parts, tells nothing of where it lies. Our choice. */
const farShare = 0.3

/** A test point named after the part ("R4.2") lies on it, and counts twice beside the points of its nets that are near it. */
const spotOf = (board: BoardType, part: Part): PartSpot[] => {
  const shown = board.testPoints.filter(({ picture }) => picture === board.pictures[0]?.id)
  const own = byName(shown, part.ref)
  if (own.length > 1) return [{ ref: part.ref, ...middleOf(own) }]
  const nets = [...new Set(Object.values(part.pins))].map((net) => shown.filter((point) => point.net === net)).filter((points) => points.length > 0)
  const telling = nets.filter((points) => points.length < widespread)
  const [only] = telling
  const points = telling.length === 1 && only !== undefined ? only : closest(telling.length > 0 ? telling : nets)
  const [on] = own
  const far = farShare * Math.hypot(board.pictures[0]?.width ?? 0, board.pictures[0]?.height ?? 0)
  const shared = (net: string): boolean => board.parts.some((other) => other !== part && other.kind !== 'connector' && Object.values(other.pins).includes(net))
  const near = on === undefined ? points : points.filter((point) => distance(point, on) <= far || !shared(point.net))
  return points.length === 0 ? [] : [{ ref: part.ref, ...middleOf([...near, ...own]) }]
}

/** Where one part is to be looked for, in that picture's units, whatever lies beside it: where the board file says, else guessed on the first picture; null: neither tells. */
export const placeOfPart = (board: BoardType, part: Part): { picture: string; x: number; y: number } | null => {
  const [picture] = board.pictures
  if (part.place !== undefined || picture === undefined) return part.place ?? null
  const [spot] = spotOf(board, part)
  return spot === undefined ? null : { picture: picture.id, x: rounded(spot.x), y: rounded(spot.y) }
}

/** Where the board file says; a part that it places on another picture is not looked for on this one, nor is a connector of which it says nothing. */
const placed = (board: BoardType, shown: string, part: Part): Spot[] => {
  const { ref, kind, place } = part
  if (place !== undefined) return place.picture === shown ? [{ ref, x: place.x, y: place.y, stated: true }] : []
  return kind === 'connector' ? [] : spotOf(board, part).map((spot) => ({ ...spot, stated: false }))
}

/** @returns in picture units; without parts that lie on another picture, and without those of which neither the file nor a test point says where. */
export const partSpots = (board: BoardType): PartSpot[] => {
  const [picture] = board.pictures
  if (picture === undefined) return []
  const spots = board.parts.flatMap((part) => placed(board, picture.id, part))
  const apart = apartShare * Math.hypot(picture.width, picture.height)
  const inside = (at: number, whole: number): number => Math.min(whole - apart / 2, Math.max(apart / 2, at))
  const move = (one: Spot, right: number, down: number): void => {
    if (one.stated) return
    one.x = inside(one.x + right, picture.width)
    one.y = inside(one.y + down, picture.height)
  }
  for (let round = 0; round < rounds; round += 1) {
    let moved = false
    spots.forEach((one, at) => spots.slice(at + 1).forEach((other, further) => {
      const between = distance(one, other)
      if (between >= apart || (one.stated && other.stated)) return
      moved = true
      // Two at the same place part in a direction of their own.
      const turn = (at * 7 + further) * 2.4
      const [right, down] = between > 1e-6 ? [(other.x - one.x) / between, (other.y - one.y) / between] : [Math.cos(turn), Math.sin(turn)]
      // Beside a stated one the guessed one goes the whole way.
      const push = (apart - between) / (one.stated || other.stated ? 1 : 2) + 0.01
      move(one, -right * push, -down * push)
      move(other, right * push, down * push)
    }))
    if (!moved) break
  }
  return spots.map(({ ref, x, y, stated }) => (stated ? { ref, x, y } : { ref, x: rounded(x), y: rounded(y) }))
}
