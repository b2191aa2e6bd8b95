/** Two resistors in a row and a diode at their middle: small enough to say by hand what is wrong with its file. */
import { boardType } from '../../../src-core/board/board-type'

export const smallBoard = boardType.parse({
  schema: 'probewright/board-type/1', id: 'divider', name: 'Divider', revision: 'A', hazard: 'extra-low', mainsReferenced: false,
  pictures: [{ id: 'top', file: 'top.svg', width: 100, height: 100 }], nets: ['NA', 'NB', 'NC', 'ND'],
  testPoints: [['A', 'NA', 10], ['B', 'NB', 50], ['C', 'NC', 90], ['D', 'ND', 95]].map(([id, net, x]) => ({ id, net, picture: 'top', x, y: 50, words: `point ${String(id)}` })),
  parts: [
    { ref: 'R1', kind: 'resistor', value: 1000, tolerance: 0.01, pins: { 1: 'NA', 2: 'NB' } }, { ref: 'R2', kind: 'resistor', value: 2200, tolerance: 0.01, pins: { 1: 'NB', 2: 'NC' } },
    { ref: 'D1', kind: 'diode', pins: { anode: 'NB', cathode: 'ND' } },
  ],
  energyStores: [], disconnect: [],
  sequence: { id: 's', version: 1, steps: [
    { id: 'r1', kind: 'measure', title: 'R1', red: 'A', black: 'B', function: 'resistance', limits: { nominal: 1000, tolerance: 0.05 }, parts: ['R1'] },
    { id: 'r2', kind: 'measure', title: 'R2', red: 'B', black: 'C', function: 'resistance', limits: { nominal: 2200, tolerance: 0.05 }, parts: ['R2'] },
    { id: 'd1', kind: 'measure', title: 'D1 forward', red: 'B', black: 'D', function: 'diode', limits: { between: [0.4, 0.8] }, parts: ['D1'] },
  ] },
})
