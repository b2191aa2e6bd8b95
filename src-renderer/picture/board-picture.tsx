/** The board's picture, dimmed except where the tips go, with the leads' marks over it; it moves in when the picture is large. */
import { useId, useRef, type JSX } from 'react'
import { assetUrl } from '../connection/token'
import { BlackMark, blackTag, RedMark, redTag } from './lead-marks'
import { inPanel, pictureView, type PictureView, type Size, type Spot } from './picture-view'
import { tagPlaces } from './tag-places'
import { usePanelSize } from './use-panel-size'

export type Ring = Spot & { words: string }
type Picture = { asset: string; width: number; height: number }
type Props = {
  picture: Picture
  /** What the picture shows, for those who cannot see it. */
  label: string
  red?: Spot | null
  black?: Spot | null
  /** Places to point out, on a result. */
  rings?: Ring[]
}

export const BoardPicture = ({ picture, label, red = null, black = null, rings = [] }: Props): JSX.Element => {
  const panel = useRef<HTMLDivElement>(null)
  const size = usePanelSize(panel)
  return (
    <div className="board-picture" ref={panel} role="img" aria-label={label}>
      {size !== null && size.width > 0 && size.height > 0 && <Inside picture={picture} size={size} red={red} black={black} rings={rings} />}
    </div>
  )
}

type InsideProps = { picture: Picture; size: Size; red: Spot | null; black: Spot | null; rings: Ring[] }

const Inside = ({ picture, size, red, black, rings }: InsideProps): JSX.Element => {
  const leads = [red, black].filter((spot) => spot !== null)
  const view = pictureView(picture, size, leads)
  const redAt = red === null ? null : inPanel(view, red)
  const blackAt = black === null ? null : inPanel(view, black)
  const [redBox, blackBox] = tagPlaces([redAt, blackAt], [redTag, blackTag], size)
  const lit = leads.length > 0 ? leads : rings
  return (
    <>
      <img
        className="board-image" src={assetUrl(picture.asset)} alt="" draggable={false}
        style={{ width: picture.width * view.scale, height: picture.height * view.scale, transform: `translate(${view.left}px, ${view.top}px)` }}
      />
      <svg className="board-overlay" width={size.width} height={size.height} aria-hidden="true">
        {lit.length > 0 && <Dim spots={lit.map((spot) => inPanel(view, spot))} radius={leads.length > 0 ? 130 : 80} />}
        {rings.map((ring) => <RingMark key={`${ring.words} ${ring.x} ${ring.y}`} spot={inPanel(view, ring)} words={ring.words} />)}
        {redAt !== null && <RedMark spot={redAt} tag={redBox} />}
        {blackAt !== null && <BlackMark spot={blackAt} tag={blackBox} />}
        {view.zoomed && <Whereabouts picture={picture} size={size} view={view} />}
      </svg>
    </>
  )
}

const Dim = ({ spots, radius }: { spots: Spot[]; radius: number }): JSX.Element => {
  const id = useId()
  return (
    <>
      <defs>
        <radialGradient id={`${id}g`}><stop offset="0.72" stopColor="#000" /><stop offset="1" stopColor="#000" stopOpacity="0" /></radialGradient>
        <mask id={`${id}m`}>
          <rect width="100%" height="100%" fill="#fff" />
          {spots.map((spot, index) => <circle key={index} cx={spot.x} cy={spot.y} r={radius} fill={`url(#${id}g)`} />)}
        </mask>
      </defs>
      <rect className="dim" width="100%" height="100%" mask={`url(#${id}m)`} />
    </>
  )
}

const RingMark = ({ spot, words }: { spot: Spot; words: string }): JSX.Element => (
  <g style={{ transform: `translate(${spot.x}px, ${spot.y}px)` }}>
    <circle className="halo" r="26" />
    <circle className="fault-ring" r="26" />
    <text className="fault-words" y={spot.y > 60 ? -36 : 50} textAnchor="middle">{words}</text>
  </g>
)

/** The whole board in small, with a frame around what is shown. */
const Whereabouts = ({ picture, size, view }: { picture: Size; size: Size; view: PictureView }): JSX.Element => {
  const width = 150
  const scale = width / picture.width
  const height = picture.height * scale
  return (
    <g style={{ transform: `translate(${size.width - width - 12}px, ${size.height - height - 12}px)` }}>
      <rect className="whole" width={width} height={height} rx="4" />
      <rect
        className="seen" x={(-view.left / view.scale) * scale} y={(-view.top / view.scale) * scale}
        width={Math.min(width, (size.width / view.scale) * scale)} height={Math.min(height, (size.height / view.scale) * scale)}
      />
    </g>
  )
}
