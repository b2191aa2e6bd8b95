/** Where words beside a place go: inside the panel, clear of marks and of each other as far as there is room. Pixels. */
import type { Size, Spot } from './picture-view'
import { overlap, type Box } from './tag-places'

/** `at`: the places the words may stand beside, the best first; `away`: how far from them. */
export type Wanted = { at: Spot[]; away: number; size: Size }

const directions: readonly [number, number][] = [[0, -1], [0, 1], [1, 0], [-1, 0], [0.8, -0.8], [-0.8, -0.8], [0.8, 0.8], [-0.8, 0.8]]

const within = (start: number, length: number, whole: number): number => Math.max(0, Math.min(whole - length, start))

/** The corner of each label, in the order asked for; `kept` is what they should leave free. */
export const labelPlaces = (wanted: Wanted[], kept: Box[], panel: Size): Box[] => {
  const placed: Box[] = []
  const covered = (box: Box, by: Box[]): number => by.reduce((sum, one) => sum + overlap(box, one), 0)
  for (const { at, away, size } of wanted) {
    const candidates = at.flatMap((spot, rank) =>
      [away, away + size.height * 0.8].flatMap((off, far) =>
        directions.map(([right, down], turn) => ({
          box: {
            x: within(spot.x + right * (off + size.width / 2) - size.width / 2, size.width, panel.width),
            y: within(spot.y + down * (off + size.height / 2) - size.height / 2, size.height, panel.height),
            ...size,
          },
          rank: rank * directions.length + turn + far * 100,
        })),
      ),
    )
    const cost = ({ box, rank }: (typeof candidates)[number]): number => 1000 * covered(box, placed) + 100 * covered(box, kept) + rank
    const best = candidates.reduce((least, one) => (cost(one) < cost(least) ? one : least))
    placed.push(best.box)
  }
  return placed
}
