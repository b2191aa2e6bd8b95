/** A small board whose file says how it is shown to work: supply, power, one rail, one thing it must do. */
import { boardType } from '../../src-core/board/board-type'
import { mistValve } from './small-board'

const measure = (id: string, title: string, red: string, black: string, what: string, more: object) => ({ kind: 'measure', id, title, red, black, function: what, ...more })
export const provenValve = boardType.parse({
  ...mistValve,
  parts: [...mistValve.parts, { ref: 'R2', kind: 'resistor', value: 4700, tolerance: 0.05, pins: { 1: 'VALVE', 2: 'GND' } }],
  sequence: { ...mistValve.sequence, steps: [
    measure('r1', 'R1 series', 'J1.1', 'R1.2', 'resistance', { limits: { nominal: 220, tolerance: 0.08 }, parts: ['R1'] }),
    measure('d1', 'D1 forward', 'J1.2', 'R1.2', 'diode', { limits: { between: [0.4, 0.8] }, parts: ['D1'] }),
    measure('r2', 'R2 to ground', 'R1.2', 'J1.2', 'resistance', { limits: { nominal: 4700, tolerance: 0.08 }, parts: ['R2', 'D1'] }),
  ] },
  prove: {
    unpowered: [measure('supply', 'Supply before power', 'R1.2', 'J1.2', 'resistance', { limits: { between: [4000, 5500] }, parts: ['D1'] })],
    powerUp: { volts: 5, limitAmperes: 0.05, connect: 'Plus to J1.1, minus to J1.2.', disconnect: ['valve cable'], cautions: [],
      steps: [measure('live-valve', 'Valve line live', 'R1.2', 'J1.2', 'dc-voltage', { powered: true, limits: { between: [4.7, 5.3] } })],
      checks: [{ id: 'clicks', title: 'It clicks', words: 'Does the valve click when it is switched?' }] },
  },
})
