/** Where the word beside a lead's mark goes: inside the panel, clear of the other mark and its word. Pixels. */
import type { Size, Spot } from './picture-view'

export type Box = { x: number; y: number; width: number; height: number }

const gap = 32

const candidates = (spot: Spot, tag: Size): Box[] => [
  { x: spot.x + gap, y: spot.y + gap - 6 },
  { x: spot.x - gap - tag.width, y: spot.y + gap - 6 },
  { x: spot.x + gap, y: spot.y - gap + 6 - tag.height },
  { x: spot.x - gap - tag.width, y: spot.y - gap + 6 - tag.height },
  { x: spot.x - tag.width / 2, y: spot.y + gap + 2 },
  { x: spot.x - tag.width / 2, y: spot.y - gap - 2 - tag.height },
].map((corner) => ({ ...corner, ...tag }))

const overlap = (a: Box, b: Box): number =>
  Math.max(0, Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x)) * Math.max(0, Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y))

const outside = (box: Box, panel: Size): number => box.width * box.height - overlap(box, { x: 0, y: 0, ...panel })

const around = (spot: Spot): Box => ({ x: spot.x - 28, y: spot.y - 28, width: 56, height: 56 })

/** The corner of each tag, first the red lead's; `null` spots have none. */
export const tagPlaces = (spots: [Spot | null, Spot | null], tags: [Size, Size], panel: Size): [Box | null, Box | null] => {
  const taken: Box[] = spots.flatMap((spot) => (spot === null ? [] : [around(spot)]))
  const place = (spot: Spot | null, other: Spot | null, tag: Size): Box | null => {
    if (spot === null) return null
    const cost = (box: Box): number => {
      const away = other === null ? 0 : Math.hypot(box.x + box.width / 2 - other.x, box.y + box.height / 2 - other.y)
      return 10 * outside(box, panel) + 10 * taken.reduce((sum, one) => sum + overlap(box, one), 0) - Math.min(away, 200)
    }
    const best = candidates(spot, tag).reduce((least, one) => (cost(one) < cost(least) ? one : least))
    taken.push(best)
    return best
  }
  return [place(spots[0], spots[1], tags[0]), place(spots[1], spots[0], tags[1])]
}
