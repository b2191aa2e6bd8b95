/** Where the whole board is shown in small over a picture that is moved in: a corner where it covers no lead, no word and nothing that is marked. Pixels. */
import type { Size, Spot } from './picture-view'
import { overlap, type Box } from './tag-places'

const widest = 150
/** Of the panel, each way. */
const share = 1 / 4
/** With its longer side under this the board is not recognised. Our choice. */
const least = 90
/** From the edges of the panel. */
const margin = 12

/** The free corner that is farthest from the leads; null: there is none, or the panel is too small. @param kept what has to stay in sight. */
export const insetPlace = (picture: Size, panel: Size, leads: readonly Spot[], kept: readonly Box[]): Box | null => {
  const scale = Math.min(widest / picture.width, (panel.width * share) / picture.width, (panel.height * share) / picture.height)
  const { width, height } = { width: picture.width * scale, height: picture.height * scale }
  if (Math.max(width, height) < least) return null
  const [right, bottom] = [panel.width - width - margin, panel.height - height - margin]
  const away = ({ x, y }: Box): number => Math.min(...leads.map((lead) => Math.hypot(x + width / 2 - lead.x, y + height / 2 - lead.y)))
  return [[right, bottom], [margin, bottom], [right, margin], [margin, margin]]
    .map(([x = 0, y = 0]): Box => ({ x, y, width, height }))
    .filter((corner) => kept.every((one) => overlap(corner, one) === 0))
    .reduce<Box | null>((best, one) => (best === null || away(one) > away(best) ? one : best), null)
}
