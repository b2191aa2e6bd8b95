/** The result points at both places a failed step was measured at, named by its parts. */
import { describe, expect, it } from 'vitest'
import { failedPlaces } from '../../src-renderer/result/failed-places'
import { boardType } from '../../src-core/board/board-type'

const board = boardType.parse({
  schema: 'probewright/board-type/1',
  id: 'mist-valve-node',
  name: 'Mist valve node',
  revision: 'A',
  hazard: 'extra-low',
  mainsReferenced: false,
  pictures: [{ id: 'top', file: 'top.svg', width: 400, height: 300 }],
  nets: ['IN', 'OUT', 'GND'],
  testPoints: [
    { id: 'J1.1', net: 'IN', picture: 'top', x: 10, y: 10, words: 'terminal 1' },
    { id: 'J1.2', net: 'GND', picture: 'top', x: 10, y: 90, words: 'terminal 2' },
    { id: 'R1.1', net: 'IN', picture: 'top', x: 100, y: 50, words: 'left end of R1' },
    { id: 'R1.2', net: 'OUT', picture: 'top', x: 140, y: 70, words: 'right end of R1' },
  ],
  parts: [
    { ref: 'R1', kind: 'resistor', value: 100, pins: { 1: 'IN', 2: 'OUT' } },
    { ref: 'D1', kind: 'diode', pins: { anode: 'GND', cathode: 'OUT' } },
    { ref: 'C1', kind: 'capacitor', pins: { 1: 'OUT', 2: 'GND' } },
    { ref: 'C2', kind: 'capacitor', pins: { 1: 'IN', 2: 'GND' } },
  ],
  energyStores: [],
  disconnect: [],
  sequence: {
    id: 'input',
    version: 1,
    steps: [
      {
        id: 'r1',
        kind: 'measure',
        title: 'R1 series',
        red: 'R1.1',
        black: 'R1.2',
        function: 'resistance',
        limits: { nominal: 100, tolerance: 0.05 },
        parts: ['R1'],
      },
      {
        id: 'd1',
        kind: 'measure',
        title: 'D1 forward',
        red: 'J1.2',
        black: 'J1.1',
        function: 'diode',
        limits: { between: [0.4, 0.8] },
        parts: ['D1'],
      },
      {
        id: 'd1-reversed',
        kind: 'measure',
        title: 'D1 reversed',
        red: 'J1.1',
        black: 'J1.2',
        function: 'diode',
        limits: 'open',
        parts: ['D1', 'C2'],
      },
      { id: 'look', kind: 'look', title: 'Look', words: 'look' },
    ],
  },
})
const boards = [{ id: board.id, revision: 'A', name: board.name, sha256: '', builtIn: true, file: '', board, picture: null, tooCoarse: [], computed: {} }]
const bench = { board: { id: board.id, name: board.name, revision: 'A' } }
const result = (...steps: string[]) => ({
  verdict: 'fail' as const,
  because: '',
  next: [],
  truth: null,
  failed: steps.map((step) => {
    const own = board.sequence.steps.find((one) => one.id === step)
    return { step, title: own?.title ?? step, value: '', limits: '', parts: own?.parts ?? [], means: '' }
  }),
})

describe('where a failed step is pointed out', () => {
  it('is both of its test points, red first, with the parts in question', () => {
    expect(failedPlaces(boards, bench, result('r1', 'd1'))).toEqual([
      { from: { x: 100, y: 50 }, to: { x: 140, y: 70 }, words: 'R1' },
      { from: { x: 10, y: 90 }, to: { x: 10, y: 10 }, words: 'D1' },
    ])
  })

  it('is one pair for two steps on the same two points, with the parts of both', () => {
    expect(failedPlaces(boards, bench, result('d1', 'd1-reversed'))).toEqual([{ from: { x: 10, y: 10 }, to: { x: 10, y: 90 }, words: 'D1, C2' }])
  })

  it('is named by the step where it has no parts in question', () => {
    const [failed] = result('r1').failed
    if (failed === undefined) throw new Error('the board has no step r1')
    expect(failedPlaces(boards, bench, { ...result(), failed: [{ ...failed, parts: [] }] })[0]?.words).toBe('R1 series')
  })

  it('is nowhere for a look, an unknown step, or another revision', () => {
    expect(failedPlaces(boards, bench, result('look', 'prepare/leads'))).toEqual([])
    expect(failedPlaces(boards, { board: { ...bench.board, revision: 'B' } }, result('r1'))).toEqual([])
  })
})
