/** What to do with the leads where no board is touched: joined, apart, on the known diode, on the known source. */
import type { JSX } from 'react'
import type { BenchView } from '../../src-core/run/view'
import { BlackMark, blackTag, RedMark, redTag } from './lead-marks'
import type { Spot } from './picture-view'

type Fixture = NonNullable<NonNullable<BenchView['step']>['fixture']>

const apart: Record<Fixture, number> = { 'leads-joined': 26, 'leads-apart': 150, 'known-diode': 170, 'known-source': 170 }

const words: Record<Fixture, string> = {
  'leads-joined': 'The two tips held together',
  'leads-apart': 'The two tips held apart, touching nothing',
  'known-diode': 'The two tips on the legs of the known diode',
  'known-source': 'The two tips on the known source',
}

/** Line symbol of a diode, anode at the left, its cathode bar at the right. */
const Diode = (): JSX.Element => (
  <g className="fixture-part">
    <path d="M190 260H310M410 260H530" />
    <path className="fixture-fill" d="M310 205V315L405 260z" />
    <path className="fixture-bar" d="M408 203V317" />
    <text x="250" y="350">
      anode
    </text>
    <text x="470" y="350">
      cathode (ring)
    </text>
  </g>
)

const Cell = (): JSX.Element => (
  <g className="fixture-part">
    <path d="M190 260H345M375 260H530" />
    <path className="fixture-bar" d="M345 190V330" />
    <path className="fixture-bar" d="M375 225V295" />
    <text x="250" y="350">
      plus +
    </text>
    <text x="470" y="350">
      minus −
    </text>
  </g>
)

/** `reversed`: the red lead goes to the cathode, or to minus. */
export const FixturePicture = ({ fixture, reversed }: { fixture: Fixture; reversed: boolean }): JSX.Element => {
  const left: Spot = { x: 360 - apart[fixture], y: 260 }
  const right: Spot = { x: 360 + apart[fixture], y: 260 }
  const [red, black] = reversed ? [right, left] : [left, right]
  const above = (spot: Spot, width: number): { x: number; y: number; width: number; height: number } => ({
    x: spot.x + (spot.x < 360 ? -20 - width : 20),
    y: 176,
    width,
    height: redTag.height,
  })
  const shaft = (spot: Spot): string => `M${spot.x} ${spot.y - 8}L${spot.x + (spot.x < 360 ? -150 : 150)} 30`
  return (
    <svg
      className="fixture"
      viewBox="0 0 720 520"
      role="img"
      aria-label={`${words[fixture]}${reversed ? ', red and black exchanged' : ''}`}
    >
      {fixture === 'known-diode' && <Diode />}
      {fixture === 'known-source' && <Cell />}
      <path className="shaft shaft-red" d={shaft(red)} />
      <path className="shaft shaft-black" d={shaft(black)} />
      <RedMark spot={red} tag={above(red, redTag.width)} />
      <BlackMark spot={black} tag={above(black, blackTag.width)} />
      <text className="fixture-words" x="360" y="440" textAnchor="middle">
        {words[fixture]}
      </text>
    </svg>
  )
}
