/** The board's picture, dimmed except where the tips go, with the leads' marks over it; it moves in when the picture is large. */
import { useRef, type JSX } from 'react'
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
  const place = {
    width: picture.width * view.scale,
    height: picture.height * view.scale,
    transform: `translate(${view.left}px, ${view.top}px)`,
  }
  return (
    <>
      <img
        className={lit.length > 0 ? 'board-image dimmed' : 'board-image'}
        src={assetUrl(picture.asset)}
        alt=""
        draggable={false}
        style={place}
      />
      {lit.length > 0 && (
        <img
          className="board-image"
          src={assetUrl(picture.asset)}
          alt=""
          draggable={false}
          style={{ ...place, maskImage: lit.map((spot) => light(spot, view.scale, leads.length > 0 ? 130 : 90)).join(', ') }}
        />
      )}
      <svg className="board-overlay" width={size.width} height={size.height} aria-hidden="true">
        {placedRings(rings.map((ring) => ({ ...inPanel(view, ring), words: ring.words }))).map((ring) => (
          <RingMark key={ring.words} ring={ring} />
        ))}
        {redAt !== null && <RedMark spot={redAt} tag={redBox} />}
        {blackAt !== null && <BlackMark spot={blackAt} tag={blackBox} />}
        {view.zoomed && <Whereabouts picture={picture} size={size} view={view} />}
      </svg>
    </>
  )
}

/** What the mask lets through: a round of `radius` pixels, fading at its edge. */
const light = (spot: Spot, scale: number, radius: number): string =>
  `radial-gradient(circle ${radius}px at ${spot.x * scale}px ${spot.y * scale}px, #000 72%, transparent)`

type PlacedRing = Ring & { wordsAbove: boolean }

/** Rings of one place become one; the words of neighbours go above and below by turns. */
const placedRings = (rings: Ring[]): PlacedRing[] =>
  rings.reduce<PlacedRing[]>((placed, ring) => {
    const same = placed.find((one) => Math.hypot(one.x - ring.x, one.y - ring.y) < 30)
    if (same !== undefined) return placed.map((one) => (one === same ? { ...one, words: `${one.words}, ${ring.words}` } : one))
    const crowded = placed.some((one) => Math.abs(one.x - ring.x) < 190 && Math.abs(one.y - ring.y) < 50 && one.wordsAbove)
    return [...placed, { ...ring, wordsAbove: ring.y > 64 && !crowded }]
  }, [])

const RingMark = ({ ring }: { ring: PlacedRing }): JSX.Element => (
  <g style={{ transform: `translate(${ring.x}px, ${ring.y}px)` }}>
    <circle className="halo" r="26" />
    <circle className="fault-ring" r="26" />
    <text className="fault-words" y={ring.wordsAbove ? -36 : 52} textAnchor={ring.x < 120 ? 'start' : 'middle'} x={ring.x < 120 ? -26 : 0}>
      {ring.words}
    </text>
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
        className="seen"
        x={(-view.left / view.scale) * scale}
        y={(-view.top / view.scale) * scale}
        width={Math.min(width, (size.width / view.scale) * scale)}
        height={Math.min(height, (size.height / view.scale) * scale)}
      />
    </g>
  )
}
