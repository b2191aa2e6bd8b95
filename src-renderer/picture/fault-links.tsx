/** Failed measurements on a picture: both points ringed, a dashed line between them, the parts in question beside it. */
import type { JSX } from 'react'
import { labelPlaces } from './label-places'
import type { Size, Spot } from './picture-view'

export type Link = { from: Spot; to: Spot; words: string }

const ring = 19
/** Widest usual character of the label's type, pixels. */
const character = 12.5
const lineHeight = 24

const between = ({ from, to }: Link, share: number): Spot => ({ x: from.x + (to.x - from.x) * share, y: from.y + (to.y - from.y) * share })

/** The line between the two rings, or null where they touch. */
const span = (link: Link): { start: Spot; end: Spot } | null => {
  const length = Math.hypot(link.to.x - link.from.x, link.to.y - link.from.y)
  return length <= 2 * ring ? null : { start: between(link, ring / length), end: between(link, 1 - ring / length) }
}

/** Each place once, however many links end there. */
export const ringsOf = (links: Link[]): Spot[] =>
  links.flatMap(({ from, to }) => [from, to]).filter((spot, at, all) => all.findIndex((one) => one.x === spot.x && one.y === spot.y) === at)

/** `links` in pixels of the panel. */
export const FaultLinks = ({ links, panel }: { links: Link[]; panel: Size }): JSX.Element => {
  const rings = ringsOf(links)
  const boxes = labelPlaces(
    links.map((link) => ({
      at: [0.5, 0.4, 0.6, 0.3, 0.7].map((share) => between(link, share)),
      away: 8,
      size: { width: Math.max(1, link.words.length) * character, height: lineHeight },
    })),
    rings.map(({ x, y }) => ({ x: x - ring - 4, y: y - ring - 4, width: 2 * ring + 8, height: 2 * ring + 8 })),
    panel,
  )
  return (
    <g data-testid="fault-links">
      {links.map((link) => {
        const line = span(link)
        return line === null ? null : (
          <g key={`${link.from.x} ${link.from.y} ${link.to.x} ${link.to.y}`}>
            <path className="halo" d={`M${line.start.x} ${line.start.y}L${line.end.x} ${line.end.y}`} />
            <path className="fault-line" d={`M${line.start.x} ${line.start.y}L${line.end.x} ${line.end.y}`} />
          </g>
        )
      })}
      {rings.map(({ x, y }) => (
        <g key={`${x} ${y}`}>
          <circle className="halo" cx={x} cy={y} r={ring} />
          <circle className="fault-ring" cx={x} cy={y} r={ring} />
        </g>
      ))}
      {links.map((link, at) => {
        const box = boxes[at]
        return box === undefined ? null : (
          <text key={link.words} className="fault-words" x={box.x + box.width / 2} y={box.y + 19} textAnchor="middle">
            {link.words}
          </text>
        )
      })}
    </g>
  )
}
