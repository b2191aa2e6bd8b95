/** Benches that differ from what the diagnosis is told: other odds of faults, another meter, other diodes. */
import type { Element, Network } from '../../../../src-core/circuit/elements'
import { plain, type Twist } from './drawn-board'

/** Saturation current up threefold and slope up by 4 %: at 1 mA some 5 mV lower, at 0.1 mA some 12 mV. Our choice. */
const otherDiode = (element: Element): Element => (element.kind !== 'junction' || element.forward === null ? element
  : { ...element, forward: { ...element.forward, amperes: element.forward.amperes * 3, slopeVolts: element.forward.slopeVolts * 1.04 } })
const otherDiodes = ({ elements }: Network): Network => ({ elements: elements.map(otherDiode) })

export const twists: readonly Twist[] = [
  { ...plain, name: 'odds of each kind of part × 3 or ÷ 3', odds: 3 },
  { ...plain, name: 'meter source ± 30 %', sources: 0.3 },
  { ...plain, name: 'other diode parameters', junctions: otherDiodes },
]
