/** Which steps a lifted leg leaves as they were: held against the part values of the board, by hand. */
import { describe, expect, it } from 'vitest'
import { boardType } from '../../../src-core/board/board-type'
import { stepsReadAlike } from '../../../src-core/circuit/same-reading'

/** F1 alone in its line; R1 with R2 beside it, together 500 Ω, and R3 of 1 GΩ, which takes 0.25 mΩ off them. */
const board = boardType.parse({
  schema: 'probewright/board-type/1', id: 'line', name: 'Line', revision: 'A', hazard: 'extra-low', mainsReferenced: false, pictures: [], nets: ['IN', 'MID', 'OUT'],
  testPoints: [{ id: 'A', net: 'IN', picture: 'top', x: 1, y: 1, words: 'A' }, { id: 'B', net: 'MID', picture: 'top', x: 2, y: 1, words: 'B' }, { id: 'C', net: 'OUT', picture: 'top', x: 3, y: 1, words: 'C' }],
  parts: [
    { ref: 'F1', kind: 'fuse', value: 0.2, pins: { 1: 'IN', 2: 'MID' } },
    { ref: 'R1', kind: 'resistor', value: 1000, tolerance: 0.01, pins: { 1: 'MID', 2: 'OUT' } },
    { ref: 'R2', kind: 'resistor', value: 1000, tolerance: 0.01, pins: { 1: 'MID', 2: 'OUT' } },
    { ref: 'R3', kind: 'resistor', value: 1e9, tolerance: 0.01, pins: { 1: 'MID', 2: 'OUT' } },
  ],
  energyStores: [], disconnect: [],
  sequence: { id: 'input', version: 1, steps: [
    { kind: 'measure', id: 'f1', title: 'F1', red: 'A', black: 'B', function: 'resistance', limits: 'short', parts: ['F1'] },
    { kind: 'measure', id: 'pair', title: 'R1 and R2', red: 'B', black: 'C', function: 'resistance', limits: { between: [450, 550] }, parts: ['R1', 'R2'] },
    { kind: 'measure', id: 'whole', title: 'All', red: 'A', black: 'C', function: 'resistance', limits: { between: [450, 550] }, parts: ['F1', 'R1', 'R2'] },
  ] },
})

describe('steps that a lifted leg leaves as they were', () => {
  it('a fuse alone reads as before; what the leg lies beside does not', () => {
    expect([...stepsReadAlike(board, [{ ref: 'R2', pin: '1', is: 'lifted' }])]).toEqual(['f1'])
    expect([...stepsReadAlike(board, [{ ref: 'F1', pin: '1', is: 'lifted' }])]).toEqual(['pair'])
  })

  it('a part no meter sees there changes nothing', () => expect([...stepsReadAlike(board, [{ ref: 'R3', pin: '1', is: 'lifted' }])]).toEqual(['f1', 'pair', 'whole']))
  it('nor does a board as it was built', () => expect([...stepsReadAlike(board, [])]).toEqual(['f1', 'pair', 'whole']))
})
