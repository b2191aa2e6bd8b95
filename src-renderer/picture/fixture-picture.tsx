/** What to do with the leads where no board is touched: joined, apart, on the known diode, on the known source. */
import type { JSX } from 'react'
import type { BenchView } from '../../src-core/run/view'
import { BlackMark, blackTag, RedMark, redTag } from './lead-marks'
import type { Spot } from './picture-view'

type Fixture = NonNullable<NonNullable<BenchView['step']>['fixture']>

const apart: Record<Fixture, number> = {
  'leads-joined': 26,
  'leads-apart': 150,
  'known-diode': 170,
  'known-source': 170,
  'check-resistor': 170,
  'check-diode': 170,
  'first-resistor': 170,
  'second-resistor': 170,
  'diode-across-first': 170,
  'diode-and-second': 250,
}

const words: Record<Fixture, string> = {
  'leads-joined': 'The two tips held together',
  'leads-apart': 'The two tips held apart, touching nothing',
  'known-diode': 'The two tips on the legs of the known diode',
  'known-source': 'The two tips on the known source',
  'check-resistor': 'The two tips on the check resistor',
  'check-diode': 'The two tips on the legs of the check diode',
  'first-resistor': 'The two tips on the first resistor',
  'second-resistor': 'The two tips on the second resistor',
  'diode-across-first': 'The two tips on the diode, the first resistor across it',
  'diode-and-second': 'The two tips on diode and second resistor in series',
}

/** Line symbol of a diode, anode at the left, its cathode bar at the right. */
const Diode = ({ words = true, from = 190, to = 530 }: { words?: boolean; from?: number; to?: number }): JSX.Element => (
  <g className="fixture-part">
    <path d={`M${from} 260H310M410 260H${to}`} />
    <path className="fixture-fill" d="M310 205V315L405 260z" />
    <path className="fixture-bar" d="M408 203V317" />
    {words && (
      <>
        <text x="250" y="350">
          anode
        </text>
        <text x="470" y="350">
          cathode (ring)
        </text>
      </>
    )}
  </g>
)

const Resistor = ({ x = 360, y = 260, reach = 170 }: { x?: number; y?: number; reach?: number }): JSX.Element => (
  <g className="fixture-part">
    <path d={`M${x - reach} ${y}H${x - 75}M${x + 75} ${y}H${x + reach}`} />
    <rect className="fixture-fill" x={x - 75} y={y - 28} width="150" height="56" />
  </g>
)

/** The resistor hangs below the diode, from leg to leg. */
const Across = (): JSX.Element => (
  <>
    <Diode words={false} />
    <path className="fixture-part" d="M240 260V370M480 260V370" />
    <Resistor y={370} reach={120} />
  </>
)

/** Diode at the left, resistor at the right. */
const Series = (): JSX.Element => (
  <>
    <g transform="translate(-60 0)">
      <Diode words={false} from={170} to={470} />
    </g>
    <Resistor x={500} reach={110} />
  </>
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
      {(fixture === 'known-diode' || fixture === 'check-diode') && <Diode />}
      {(fixture === 'check-resistor' || fixture === 'first-resistor' || fixture === 'second-resistor') && <Resistor />}
      {fixture === 'diode-across-first' && <Across />}
      {fixture === 'diode-and-second' && <Series />}
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
