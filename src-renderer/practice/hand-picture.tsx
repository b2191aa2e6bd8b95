/** The picture in manual practice: every place a lead can go is a button, and the leads are drawn where the user has them. */
import { useRef, useState, type CSSProperties, type JSX } from 'react'
import type { DiagnosisView } from '../../src-core/run/diagnosis-view'
import type { BenchView } from '../../src-core/run/view'
import { letGo } from '../keys/let-go'
import { BoardPicture } from '../picture/board-picture'
import { FixturePicture } from '../picture/fixture-picture'
import { markScale } from '../picture/lead-marks'
import { shadesOnBench } from '../picture/part-shades'
import { inPanel, pictureView, type Size, type Spot } from '../picture/picture-view'
import { usePanelSize } from '../picture/use-panel-size'
import { placeInWords, placeName } from './place-name'
import type { UserHand } from './use-hand'

/** What the fixtures are drawn on. */
const fixtureSheet: Size = { width: 720, height: 520 }
const button = 30

type Props = { bench: BenchView; diagnosis: DiagnosisView | null; hand: UserHand; label: string; away: boolean }

export const HandPicture = ({ bench: { step, picture }, diagnosis, hand, label, away }: Props): JSX.Element => {
  const panel = useRef<HTMLDivElement>(null)
  const size = usePanelSize(panel)
  const fixture = step?.fixture ?? null
  const sheet = fixture === null ? picture : fixtureSheet
  const wanted = fixture === null ? [step?.red ?? null, step?.black ?? null].filter((spot) => spot !== null) : []
  const view = size === null || sheet === null || size.width === 0 || size.height === 0 ? null : pictureView(sheet, size, wanted)
  const seen = view === null || size === null ? []
    : hand.view.places.map((place) => ({ ...place, ...inPanel(view, place) })).filter(({ x, y }) => x >= 0 && y >= 0 && x <= size.width && y <= size.height)
  const at = (lead: 'red' | 'black'): Spot | null => seen.find(({ id }) => id === hand.view[lead]) ?? null
  const probes = size === null ? [] : probesAt(size, at('red'), at('black'))
  return (
    <div className="hand-picture" ref={panel}>
      {fixture !== null ? (
        <FixturePicture fixture={fixture} reversed={step?.reversed ?? false} />
      ) : picture === null ? (
        <p className="no-picture">This board type has no picture. Its test points are listed here to be touched.</p>
      ) : (
        <BoardPicture picture={picture} label={label} red={step?.red ?? null} black={step?.black ?? null} shades={shadesOnBench(diagnosis)} over={[...seen, ...probes.flatMap(alongShaft)]} />
      )}
      {size !== null && <Probes size={size} probes={probes} />}
      <Places places={seen.length > 0 || view !== null ? seen : hand.view.places} plain={view === null} hand={hand} away={away} />
    </div>
  )
}

type PlacesProps = { places: (Spot & { id: string; words: string })[]; /** Without a picture: a list. */ plain: boolean; hand: UserHand; away: boolean }

/** One stop of the Tab key; the arrows go from place to place. */
const Places = ({ places, plain, hand, away }: PlacesProps): JSX.Element => {
  const [last, setLast] = useState<string | null>(null)
  const stop = places.some(({ id }) => id === last) ? last : (places[0]?.id ?? null)
  const at = ({ x, y }: Spot): CSSProperties => ({ transform: `translate(${x - button / 2}px, ${y - button / 2}px)` })
  return (
    <div className={plain ? 'places places-plain' : 'places'} role="group" aria-label={`Places for the ${hand.lead} lead`}>
      {places.map((place) => {
        const leads = (['red', 'black'] as const).filter((lead) => hand.view[lead] === place.id)
        return (
          <button
            key={place.id}
            type="button"
            className={leads.length === 0 ? 'place-point' : 'place-point taken'}
            data-place={place.id}
            disabled={away}
            tabIndex={place.id === stop ? 0 : -1}
            style={plain ? {} : at(place)}
            aria-label={`${placeInWords(place)}${leads.length === 0 ? '' : `; ${leads.join(' and ')} lead here`}`}
            onFocus={() => setLast(place.id)}
            onClick={(event) => {
              letGo(event)
              hand.placeAt(place.id)
            }}
          >
            {plain ? `${placeName(place.id)}, ${place.words}` : <span className={place.x > 420 ? 'place-words leftwards' : 'place-words'}>{place.words}</span>}
          </button>
        )
      })}
    </div>
  )
}

type Held = { lead: 'red' | 'black'; tip: Spot; lean: 1 | -1; scale: number }

/** From the tip, at scale 1. */
const shaft = { x: 58, y: 120 }

const probesAt = (size: Size, red: Spot | null, black: Spot | null): Held[] => {
  const apart = red !== null && black !== null && Math.hypot(red.x - black.x, red.y - black.y) < 12 ? 9 : 0
  const held = (lead: Held['lead'], spot: Spot | null, aside: number): Held[] =>
    (spot === null ? [] : [{ lead, tip: { x: spot.x + aside, y: spot.y }, lean: spot.x > size.width / 2 ? 1 : -1, scale: markScale(size) }])
  return [...held('red', red, -apart), ...held('black', black, apart)]
}

const alongShaft = ({ tip, lean, scale }: Held): Spot[] => [0.25, 0.5, 0.75, 1].map((part) => ({ x: tip.x + part * lean * shaft.x * scale, y: tip.y + part * shaft.y * scale }))

/** The user's leads: a tip with its shaft, filled; the rings of the bench say where they should be. */
const Probes = ({ size, probes }: { size: Size; probes: readonly Held[] }): JSX.Element => (
  <svg className="probes" width={size.width} height={size.height} aria-hidden="true">
    {probes.map((probe) => <Probe key={probe.lead} {...probe} />)}
  </svg>
)

const Probe = ({ lead, tip, lean, scale }: Held): JSX.Element => {
  const line = `M0 0L${lean * shaft.x} ${shaft.y}`
  return (
    <g data-testid={`probe-${lead}`} style={{ transform: `translate(${tip.x}px, ${tip.y}px) scale(${scale})` }}>
      <path className="probe-edge" d={line} />
      <path className={`probe-shaft probe-${lead}`} d={line} />
      {lead === 'red' ? <circle className="probe-tip probe-tip-red" r="9" /> : <rect className="probe-tip probe-tip-black" x="-8" y="-8" width="16" height="16" />}
    </g>
  )
}
