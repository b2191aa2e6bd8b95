/** A line input whose receiver is judged with its clamps lifted and the terminator open: typed limits on one input, computed ones on the other. */
import type { PartState } from '../../src-core/board/part-state'
import { boardType, type BoardType } from '../../src-core/board/board-type'

export const lifted = [{ ref: 'D1', pin: 'anode', is: 'lifted' }, { ref: 'D2', pin: 'anode', is: 'lifted' }, { ref: 'JP1', is: 'removed' }] satisfies PartState[]
const stop = { when: 'under-limits', stop: 'beyond-repair', because: 'The input of U1 has taken the surge through its inner layer. Put the board aside.', needs: lifted }

/** @param typed limits of the input pair; without them they are computed. */
export const lineInput = (typed?: [number, number]): BoardType => boardType.parse({
  schema: 'probewright/board-type/1', id: 'line-input', name: 'Line input', revision: 'A', hazard: 'extra-low', mainsReferenced: false,
  pictures: [{ id: 'top', file: 'top.svg', width: 320, height: 260 }], nets: ['A', 'B', 'TERM', 'GND', 'VCC'],
  testPoints: [
    { id: 'J1.1', net: 'A', picture: 'top', x: 60, y: 60, words: 'terminal A' }, { id: 'J1.2', net: 'B', picture: 'top', x: 60, y: 120, words: 'terminal B' },
    { id: 'J1.3', net: 'GND', picture: 'top', x: 60, y: 200, words: 'terminal minus' }, { id: 'R1.2', net: 'TERM', picture: 'top', x: 260, y: 60, words: 'right end of R1' },
  ],
  parts: [
    { ref: 'R1', kind: 'resistor', value: 120, tolerance: 0.02, pins: { 1: 'A', 2: 'TERM' } }, { ref: 'JP1', kind: 'link', pins: { 1: 'TERM', 2: 'B' } },
    { ref: 'D1', kind: 'diode', pins: { anode: 'GND', cathode: 'A' } }, { ref: 'D2', kind: 'diode', pins: { anode: 'GND', cathode: 'B' } },
    { ref: 'U1', kind: 'ic', value: 12000, tolerance: 0.2, pins: { A: 'A', B: 'B', GND: 'GND', VCC: 'VCC' }, parameters: { clamps: 'none' } },
  ],
  energyStores: [{ id: 'line', red: 'J1.1', black: 'J1.3', kind: 'rail', dischargeOhms: 100 }], disconnect: ['line cable'],
  sequence: { id: 'input', version: 1, steps: [
    { kind: 'do', id: 'lift', title: 'Lift the clamps', words: 'Lift the anodes of D1 and D2.', leaves: lifted.slice(0, 2) },
    { kind: 'do', id: 'open', title: 'Open the terminator', words: 'Pull JP1.', leaves: lifted.slice(2) },
    { kind: 'measure', id: 'pair', title: 'Input pair of U1', red: 'J1.1', black: 'J1.2', function: 'resistance', ...(typed === undefined ? {} : { limits: { between: typed } }), parts: ['U1'], then: [stop] },
    { kind: 'do', id: 'back', title: 'Clamps and link back', words: 'Solder the anodes back and fit JP1.', leaves: [{ ref: 'D1', is: 'back' }, { ref: 'D2', is: 'back' }, { ref: 'JP1', is: 'back' }] },
    { kind: 'measure', id: 'r1', title: 'R1 terminator', red: 'J1.1', black: 'R1.2', function: 'resistance', limits: { between: [100, 140] }, parts: ['R1'] },
  ] },
})
