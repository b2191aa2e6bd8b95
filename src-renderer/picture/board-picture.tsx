/** The board's picture, dimmed except where the tips go, with the leads' marks over it; it moves in when the picture is large. */
import { useRef, type JSX } from 'react'
import { assetUrl } from '../connection/token'
import { FaultLinks, ringsOf, type Link } from './fault-links'
import { BlackMark, blackTag, markScale, RedMark, redTag } from './lead-marks'
import { insetPlace } from './inset-place'
import { inPanel, pictureView, shownPart, type Size, type Spot } from './picture-view'
import { PartShades, shadeBox, type Shade } from './part-shades'
import { PointMarks, type Point } from './point-marks'
import { around, tagPlaces, type Box } from './tag-places'
import { usePanelSize } from './use-panel-size'

type Picture = { asset: string; width: number; height: number }
type Props = {
  picture: Picture
  /** What the picture shows, for those who cannot see it. */
  label: string
  red?: Spot | null
  black?: Spot | null
  /** Failed measurements to point out, on a result. */
  links?: Link[]
  /** Every test point, where the board type is looked at. */
  points?: Point[]
  /** Parts shaded by their reports. */
  shades?: Shade[]
  /** What else is drawn or can be clicked over the picture, in pixels of the panel: it is not to be covered. */
  over?: Spot[]
}

export const BoardPicture = ({ picture, label, red = null, black = null, links = [], points = [], shades = [], over = [] }: Props): JSX.Element => {
  const panel = useRef<HTMLDivElement>(null)
  const size = usePanelSize(panel)
  return (
    <div className="board-picture" ref={panel} role="img" aria-label={label}>
      {size !== null && size.width > 0 && size.height > 0 && (
        <Inside picture={picture} size={size} red={red} black={black} links={links} points={points} shades={shades} over={over} />
      )}
    </div>
  )
}

type InsideProps = { picture: Picture; size: Size; red: Spot | null; black: Spot | null; links: Link[]; points: Point[]; shades: Shade[]; over: Spot[] }

const Inside = ({ picture, size, red, black, links, points, shades, over }: InsideProps): JSX.Element => {
  const leads = [red, black].filter((spot) => spot !== null)
  const view = pictureView(picture, size, leads)
  const redAt = red === null ? null : inPanel(view, red)
  const blackAt = black === null ? null : inPanel(view, black)
  const marks = markScale(size)
  const [redBox, blackBox] = tagPlaces([redAt, blackAt], [redTag, blackTag], size, marks)
  const shaded = shades.map((shade) => ({ ...shade, spot: inPanel(view, shade.spot) }))
  const leadsAt = [redAt, blackAt].filter((spot) => spot !== null)
  const kept = [...leadsAt.map((spot) => around(spot, marks)), ...[redBox, blackBox].filter((box) => box !== null), ...shaded.map(shadeBox), ...over.map((spot) => around(spot, 0.5))]
  const inset = view.zoomed ? insetPlace(picture, size, leadsAt, kept) : null
  const lit = leads.length > 0 ? leads : ringsOf(links)
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
        {points.length > 0 && <PointMarks points={points.map(({ id, ...spot }) => ({ id, ...inPanel(view, spot) }))} panel={size} />}
        {shades.length > 0 && <PartShades shades={shaded} />}
        {links.length > 0 && (
          <FaultLinks links={links.map(({ from, to, words }) => ({ from: inPanel(view, from), to: inPanel(view, to), words }))} panel={size} />
        )}
        {inset !== null && <Whereabouts picture={picture} box={inset} part={shownPart(picture, size, view)} />}
        {redAt !== null && <RedMark spot={redAt} tag={redBox} scale={marks} />}
        {blackAt !== null && <BlackMark spot={blackAt} tag={blackBox} scale={marks} />}
      </svg>
    </>
  )
}

/** What the mask lets through: a round of `radius` pixels, fading at its edge. */
const light = (spot: Spot, scale: number, radius: number): string =>
  `radial-gradient(circle ${radius}px at ${spot.x * scale}px ${spot.y * scale}px, #000 72%, transparent)`

/** The whole board in small, faint, with a frame around what is shown. */
const Whereabouts = ({ picture, box: { x, y, width, height }, part }: { picture: Picture; box: Box; /** Picture units. */ part: Box }): JSX.Element => {
  const scale = width / picture.width
  return (
    <g data-testid="whereabouts" style={{ transform: `translate(${x}px, ${y}px)` }}>
      <rect className="whole" width={width} height={height} rx="4" />
      <image className="whole-board" href={assetUrl(picture.asset)} width={width} height={height} preserveAspectRatio="none" />
      <rect className="seen" x={part.x * scale} y={part.y * scale} width={part.width * scale} height={part.height * scale} />
    </g>
  )
}
