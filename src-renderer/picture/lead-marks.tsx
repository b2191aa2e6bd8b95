/** The two leads as drawn on any picture: red is a circle and its word, black a square and its word. */
import type { CSSProperties, JSX } from 'react'
import type { Size, Spot } from './picture-view'
import type { Box } from './tag-places'

export const redTag = { width: 78, height: 34 }
export const blackTag = { width: 100, height: 34 }

/** How much smaller marks and words are drawn where the panel is small, so that they do not cover the board. */
export const markScale = ({ width, height }: Size): number => Math.max(0.5, Math.min(1, width / 420, height / 300))

const at = ({ x, y }: Spot, scale = 1): CSSProperties => ({ transform: `translate(${x}px, ${y}px) scale(${scale})` })

const Tag = ({ box, spot, scale, lead }: { box: Box; spot: Spot; scale: number; lead: 'red' | 'black' }): JSX.Element => {
  const { width, height } = lead === 'red' ? redTag : blackTag
  return (
    <g className="tag" style={at({ x: (box.x - spot.x) / scale, y: (box.y - spot.y) / scale })}>
      <rect className={`tag-plate tag-${lead}`} width={width} height={height} rx={lead === 'red' ? 17 : 3} />
      <text className={`tag-word tag-word-${lead}`} x={width / 2} y={height / 2 + 7} textAnchor="middle">
        {lead === 'red' ? 'RED' : 'BLACK'}
      </text>
    </g>
  )
}

type MarkProps = { spot: Spot; /** Where the word goes; null for none. */ tag: Box | null; scale?: number }

/** Positions in pixels of the surrounding SVG. */
export const RedMark = ({ spot, tag, scale = 1 }: MarkProps): JSX.Element => (
  <g className="lead-mark" style={at(spot, scale)}>
    <circle className="halo" r="25" />
    <circle className="red-ring" r="25" />
    <circle className="halo-dot" r="7" />
    <circle className="red-dot" r="5" />
    {tag !== null && <Tag box={tag} spot={spot} scale={scale} lead="red" />}
  </g>
)

export const BlackMark = ({ spot, tag, scale = 1 }: MarkProps): JSX.Element => (
  <g className="lead-mark" style={at(spot, scale)}>
    <rect className="halo" x="-22" y="-22" width="44" height="44" />
    <rect className="black-ring" x="-22" y="-22" width="44" height="44" />
    <rect className="halo-dot" x="-6" y="-6" width="12" height="12" />
    <rect className="black-dot" x="-4" y="-4" width="8" height="8" />
    {tag !== null && <Tag box={tag} spot={spot} scale={scale} lead="black" />}
  </g>
)
