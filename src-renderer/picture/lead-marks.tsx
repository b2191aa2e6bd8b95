/** The two leads as drawn on any picture: red is a circle and its word, black a square and its word. */
import type { CSSProperties, JSX } from 'react'
import type { Spot } from './picture-view'
import type { Box } from './tag-places'

export const redTag = { width: 78, height: 34 }
export const blackTag = { width: 100, height: 34 }

const at = ({ x, y }: Spot): CSSProperties => ({ transform: `translate(${x}px, ${y}px)` })

const Tag = ({ box, spot, lead }: { box: Box; spot: Spot; lead: 'red' | 'black' }): JSX.Element => (
  <g className="tag" style={at({ x: box.x - spot.x, y: box.y - spot.y })}>
    <rect className={`tag-plate tag-${lead}`} width={box.width} height={box.height} rx={lead === 'red' ? 17 : 3} />
    <text className={`tag-word tag-word-${lead}`} x={box.width / 2} y={box.height / 2 + 7} textAnchor="middle">
      {lead === 'red' ? 'RED' : 'BLACK'}
    </text>
  </g>
)

/** Positions in pixels of the surrounding SVG; `tag` is where the word goes, null for none. */
export const RedMark = ({ spot, tag }: { spot: Spot; tag: Box | null }): JSX.Element => (
  <g className="lead-mark" style={at(spot)}>
    <circle className="halo" r="25" />
    <circle className="red-ring" r="25" />
    <circle className="halo-dot" r="7" />
    <circle className="red-dot" r="5" />
    {tag !== null && <Tag box={tag} spot={spot} lead="red" />}
  </g>
)

export const BlackMark = ({ spot, tag }: { spot: Spot; tag: Box | null }): JSX.Element => (
  <g className="lead-mark" style={at(spot)}>
    <rect className="halo" x="-22" y="-22" width="44" height="44" />
    <rect className="black-ring" x="-22" y="-22" width="44" height="44" />
    <rect className="halo-dot" x="-6" y="-6" width="12" height="12" />
    <rect className="black-dot" x="-4" y="-4" width="8" height="8" />
    {tag !== null && <Tag box={tag} spot={spot} lead="black" />}
  </g>
)
