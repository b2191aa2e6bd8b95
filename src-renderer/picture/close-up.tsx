/** A part of a board picture, close in, with a ring around the place to look at. */
import type { JSX } from 'react'
import { assetUrl } from '../connection/token'
import type { Size, Spot } from './picture-view'

/** Pixels of the window. */
const shown: Size = { width: 210, height: 132 }
/** Picture units seen across the window; a smaller picture is shown whole. */
const across = 230
const ring = 40

type Props = { picture: Size & { asset: string }; place: Spot; label: string }

export const CloseUp = ({ picture, place, label }: Props): JSX.Element => {
  const scale = shown.width / Math.min(across, picture.width)
  const held = (middle: number, window: number, whole: number): number => Math.min(0, Math.max(window - whole * scale, window / 2 - middle * scale))
  const [left, top] = [held(place.x, shown.width, picture.width), held(place.y, shown.height, picture.height)]
  return (
    <span className="close-up" role="img" aria-label={label}>
      <img
        src={assetUrl(picture.asset)}
        alt=""
        draggable={false}
        style={{ width: picture.width * scale, height: picture.height * scale, transform: `translate(${left}px, ${top}px)` }}
      />
      <svg width={shown.width} height={shown.height} aria-hidden="true">
        <circle className="halo" cx={left + place.x * scale} cy={top + place.y * scale} r={ring} />
        <circle className="look-here" cx={left + place.x * scale} cy={top + place.y * scale} r={ring} />
      </svg>
    </span>
  )
}
