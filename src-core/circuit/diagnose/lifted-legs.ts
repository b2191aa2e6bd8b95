/** A leg that is lifted off its pad is a place for a tip as well, at which its part is measured alone. It has no test point. */
import type { BoardType, Part } from '../../board/board-type'
import { isLeg } from '../../board/lifted-leg'
import { placesOf } from '../../board/part-places'
import type { MeterFunction } from '../../meter/reading'
import { type BoardState, liftedNet } from '../network'
import type { Allowed } from './allowed-placements'

/** Those of parts that are still on the board. `id`: both the name of the leg in a readings file and that of the net it is alone on, "~C8.1". */
export const legsOf = (state: BoardState): { ref: string; pin: string; id: string }[] =>
  state.flatMap((one) => (one.is === 'lifted' && !state.some(({ ref, is }) => ref === one.ref && is === 'removed') ? [{ ref: one.ref, pin: one.pin, id: liftedNet(one.ref, one.pin) }] : []))

/** The net that a pin is on, its own where it is lifted. */
export const netOfPin = ({ ref, pins }: Part, pin: string, state: BoardState): string | null =>
  (state.some((one) => one.is === 'lifted' && one.ref === ref && one.pin === pin) ? liftedNet(ref, pin) : pins[pin] ?? null)

/** Of a capacitor by capacitance, where it is measured, and by resistance for a leak; of any other part by resistance, and diode test both ways. */
const functionsOf = ({ kind }: Part, capacitance: boolean): MeterFunction[] =>
  (kind === 'capacitor' ? [...(capacitance ? ['capacitance' as const] : []), 'resistance'] : ['resistance', 'diode'])

/** Across each place of a part with a lifted leg at one end, where the other end can be touched. */
export const legPlacements = (board: BoardType, state: BoardState, capacitance: boolean): Allowed[] => {
  const legs = legsOf(state)
  /** Where a tip finds the net of this pin: on its leg, on the test point named after it, or on another one. */
  const tipOn = (part: Part, pin: string): { id: string; net: string } | null => {
    const net = netOfPin(part, pin, state)
    const points = board.testPoints.filter((point) => point.net === net)
    return legs.map(({ id }) => ({ id, net: id })).find(({ id }) => id === net) ?? points.find(({ id }) => id === `${part.ref}.${pin}`) ?? points[0] ?? null
  }
  return board.parts.filter(({ ref }) => legs.some((leg) => leg.ref === ref)).flatMap((part) => placesOf(part).flatMap(({ from, to }) => {
    const [one, other] = [tipOn(part, from), tipOn(part, to)]
    if (one === null || other === null || one.net === other.net || (!isLeg(one.id) && !isLeg(other.id))) return []
    return functionsOf(part, capacitance).flatMap((what) => (what === 'diode' ? [[one, other], [other, one]] as const : [[one, other]] as const).map(([red, black]): Allowed =>
      ({ placement: { red: red.id, black: black.id, function: what }, nets: { red: red.net, black: black.net, function: what } })))
  }))
}
