/** Where the word beside a lead's mark goes: inside the panel, clear of the other mark and its word. Pixels. */
import type { Size, Spot } from './picture-view'

export type Box = { x: number; y: number; width: number; height: number }

const usualGap = 32

const within = (start: number, length: number, whole: number): number => Math.max(0, Math.min(whole - length, start))

/** Places around the mark, near ones first, pushed inside the panel. */
const candidates = (spot: Spot, tag: Size, panel: Size, scale: number): Box[] => {
  const gap = scale * usualGap
  const { x, y } = spot
  const { width, height } = tag
  const [right, left, below, above] = [x + gap, x - gap - width, y + gap - 6, y - gap + 6 - height]
  const [middleX, middleY] = [x - width / 2, y - height / 2]
  return [
    [right, below],
    [left, below],
    [right, above],
    [left, above],
    [middleX, below + 8],
    [middleX, above - 8],
    [right, middleY],
    [left, middleY],
    [right, below + height + 6],
    [left, below + height + 6],
    [right, above - height - 6],
    [left, above - height - 6],
  ].map(([cornerX = 0, cornerY = 0]) => ({ x: within(cornerX, width, panel.width), y: within(cornerY, height, panel.height), ...tag }))
}

/** Area two boxes share. */
export const overlap = (a: Box, b: Box): number =>
  Math.max(0, Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x)) *
  Math.max(0, Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y))

/** A lead's mark. */
export const around = (spot: Spot, scale: number): Box => ({ x: spot.x - 28 * scale, y: spot.y - 28 * scale, width: 56 * scale, height: 56 * scale })

/** The corner of each tag, first the red lead's; `null` spots have none. @param scale how large marks and tags are drawn: 1 is their own size. */
export const tagPlaces = (spots: [Spot | null, Spot | null], tags: [Size, Size], panel: Size, scale = 1): [Box | null, Box | null] => {
  const drawn = ({ width, height }: Size): Size => ({ width: width * scale, height: height * scale })
  const marks: Box[] = spots.flatMap((spot) => (spot === null ? [] : [around(spot, scale)]))
  const words: Box[] = []
  const covered = (box: Box, by: Box[]): number => by.reduce((sum, one) => sum + overlap(box, one), 0)
  const place = (spot: Spot | null, other: Spot | null, tag: Size): Box | null => {
    if (spot === null) return null
    const cost = (box: Box): number => {
      const away = other === null ? 0 : Math.hypot(box.x + box.width / 2 - other.x, box.y + box.height / 2 - other.y)
      const own = Math.hypot(box.x + box.width / 2 - spot.x, box.y + box.height / 2 - spot.y)
      return 1000 * covered(box, words) + 10 * covered(box, marks) + 3 * own - Math.min(away, 200)
    }
    const best = candidates(spot, tag, panel, scale).reduce((least, one) => (cost(one) < cost(least) ? one : least))
    words.push(best)
    return best
  }
  return [place(spots[0], spots[1], drawn(tags[0])), place(spots[1], spots[0], drawn(tags[1]))]
}
