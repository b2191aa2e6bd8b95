/** R·C across a placement, where the board's nets and values give it: how long a reading takes to settle. */
import type { BoardType } from '../board/board-type'
import type { MeterFunction } from '../meter/reading'
import { type Seconds, seconds } from '../quantity/units'
import { reads, type TipPlacement } from './expected-reading'
import { networkOf } from './network'
import { faradsAcross } from './read'

/**
 * R·C in seconds on a good board, or null where no capacitor lies straight across the placement, no resistance discharges it, or the
 * function drives no current. The meter's own source would only make it shorter; capacitors behind other parts are not seen.
 */
export const rcSeconds = (board: BoardType, placement: TipPlacement, what: MeterFunction): Seconds | null => {
  if (what !== 'resistance' && what !== 'continuity' && what !== 'diode') return null
  const net = (id: string): string | null => board.testPoints.find((point) => point.id === id)?.net ?? null
  const [red, black] = [net(placement.red), net(placement.black)]
  if (red === null || black === null || red === black) return null
  const farads = faradsAcross(networkOf(board, []), red, black)
  if (farads === 0) return null
  const ohms = reads(board, [], placement, 'resistance')
  return ohms.ok && typeof ohms.value === 'number' ? seconds(ohms.value * farads) : null
}
