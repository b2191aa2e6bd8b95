import { describe, expect, it } from 'vitest'
import { reads } from '../../../src-core/circuit/expected-reading'
import { expectedInside, failedSteps } from '../../../src-core/circuit/failed-steps'
import { faultText, parseFault } from '../../../src-core/circuit/faults'
import { networkOf } from '../../../src-core/circuit/network'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { drawSpread } from '../../../src-core/circuit/spread'
import { readingAt } from '../../../src-core/circuit/told-apart'
import { usualFaults } from '../../../src-core/circuit/usual-faults'
import { usualBenchKit } from '../../../src-core/meter/instrument'
import { preparationSteps } from '../../../src-core/run/preparation'
import { allBoards, type AnyBoard, faultsOf, limitedBoard, limitsOf, sampleBoard } from './sample'
import { drawnCount } from '../../bench-tools/sampled'

/** Faults that these readings cannot show, by fault, with the reason. Whatever is not named here must fail a step. */
const masked: Record<AnyBoard, [reason: string, faults: string][]> = {
  'vent-driver-node': [
    ['a two-way protector that failed open reads like a good board everywhere', 'D1:open'],
    ['a leak of 10 kΩ beside 120 Ω or 220 Ω is within their limits', 'R7:leaky=10000 R4:leaky=10000 R3:leaky=10000'],
    ['a leak beside a few ohms is nothing', 'T1.1:leaky=100 T1.1:leaky=1000 T1.1:leaky=10000 T1.3:leaky=100 T1.3:leaky=1000 T1.3:leaky=10000'],
    ['U1 alone stands for the rail: what U2 draws lies within the spread of the two', 'U2.VCC:open U2.VCC:leaky=10000 U2.VCC:drifted=2 U2.VCC:drifted=0.5'],
    ['a fuse is meant to read next to nothing', 'F1:short F1:leaky=100 F1:leaky=1000 F1:leaky=10000 F1:drifted=2 F1:drifted=0.5'],
    ['the diode test drives 1 mA at most: above 2 kΩ it shows open', 'D2:leaky=10000'],
    ['the diode inside U1 stands in for it, and no step drives the supply pair forwards in diode test', 'D3:open D3:reversed'],
    ['lies within the spread of R9 and U1 in parallel', 'D3:leaky=10000 C8:leaky=10000 R9:leaky=10000 R9:drifted=2 R9:drifted=0.5 U1.IN:leaky=10000 U1.IN:drifted=2 U1.IN:drifted=0.5'],
    ['lies within the spread of U1 and U2 in parallel', 'U1.OUT:leaky=10000 U1.OUT:drifted=2 U1.OUT:drifted=0.5 C9:leaky=10000'],
    ['no step measures capacitance', 'C8:open C8:drifted=2 C8:drifted=0.5 C9:open C9:drifted=2 C9:drifted=0.5'],
  ],
  'vent-driver-node-d': [],
  'soil-relay': [
    ['a fuse is meant to read next to nothing', 'F1:short F1:leaky=100 F1:leaky=1000 F1:leaky=10000 F1:drifted=2 F1:drifted=0.5'],
    ['a leak beside a few ohms is nothing', 'L1:leaky=100 L1:leaky=1000 L1:leaky=10000'],
    ['the diode test drives 1 mA at most: above 5 kΩ it shows open', 'D1:leaky=10000'],
    ['no step measures capacitance', 'C1:open C1:drifted=2 C1:drifted=0.5 C2:open C2:drifted=2 C2:drifted=0.5'],
    ['the diode inside U1 stands in for it, and no step drives the supply pair forwards in diode test', 'D2:open D2:reversed'],
    ['lies within the spread of R1 and U1 in parallel', 'U1.IN:drifted=2 U1.IN:drifted=0.5'],
    ['lies within the spread of U1 and U3 in parallel', 'U1.OUT:drifted=0.5 U3.VCC:open U3.VCC:drifted=2 U3.VCC:drifted=0.5'],
    ['beside 1.1 kΩ of coil and R3 within the tolerance of the coil', 'K1:leaky=10000 D3:leaky=10000 R3:leaky=10000 R3:drifted=2'],
    ['100 kΩ to 0 V beside 33 kΩ or behind the coil', 'U2.IN:open U2.IN:drifted=2 U2.IN:drifted=0.5 U2.OUT:open U2.OUT:leaky=10000 U2.OUT:drifted=2 U2.OUT:drifted=0.5'],
    ['in a row with 33 kΩ whose spread is larger than R4', 'R4:short R4:leaky=100 R4:leaky=1000 R4:leaky=10000 R4:drifted=2 R4:drifted=0.5'],
  ],
  'frost-sensor': [
    ['a two-way protector that failed open reads like a good board everywhere', 'D1:open'],
    ['no step measures capacitance', 'C1:open C1:drifted=2 C1:drifted=0.5 C2:open C2:drifted=2 C2:drifted=0.5'],
    ['an input of U1 carries nothing beside the Schottky clamps and the divider', 'U1.P:open U1.N:open'],
    ['47 kΩ of an output show nowhere beside a clamp', 'U1.OUT:leaky=10000 U1.OUT:drifted=2 U1.OUT:drifted=0.5'],
    ['what U1 draws lies beside the divider of R4 and RT1', 'U1.VCC:drifted=2 U1.VCC:drifted=0.5'],
    ['a leak of 10 kΩ beside 470 Ω, or beside the divider, is within the limits', 'R3:leaky=10000'],
  ],
  'blind-drive': [
    ['a fuse is meant to read next to nothing', 'F1:short F1:leaky=100 F1:leaky=1000 F1:leaky=10000 F1:drifted=2 F1:drifted=0.5'],
    ['a two-way protector or varistor that failed open reads like a good board everywhere', 'RV1:open D3:open'],
    ['no step measures capacitance', 'C1:open C1:drifted=2 C1:drifted=0.5'],
    ['a leak of 10 kΩ beside 4.7 kΩ of bleeder is within its limits', 'C1:leaky=10000 R1:leaky=10000'],
    ['a leak beside less than an ohm is nothing, and a warm RT1 reads twice as much', 'RT1:leaky=100 RT1:leaky=1000 RT1:leaky=10000 RT1:drifted=2'],
  ],
  'valve-hub': [
    ['a fuse is meant to read next to nothing', 'F1:short F1:leaky=100 F1:leaky=1000 F1:leaky=10000 F1:drifted=2 F1:drifted=0.5'],
    ['the diode test drives 1 mA at most: above 5 kΩ it shows open', 'D1:leaky=10000'],
    ['the diode inside U1 stands in for it, and no step drives the supply pair forwards in diode test', 'D2:open D2:reversed'],
    ['no step measures capacitance', 'C1:open C1:drifted=2 C1:drifted=0.5 C2:open C2:drifted=2 C2:drifted=0.5'],
    ['lies within the spread of R1 and U1 in parallel', 'U1.IN:drifted=2 U1.IN:drifted=0.5'],
    ['four parts draw on the 5 V rail: one of them lies within the spread of the others', 'U1.OUT:open U1.OUT:leaky=10000 U1.OUT:drifted=2 U1.OUT:drifted=0.5 C2:leaky=10000 U2.VCC:open U2.VCC:leaky=10000 U2.VCC:drifted=2 U2.VCC:drifted=0.5 U3.VCC:open U3.VCC:leaky=10000 U3.VCC:drifted=2 U3.VCC:drifted=0.5'],
    ['a protector that failed open reads like a good board everywhere', 'GT1.a-common:open GT1.b-common:open D3:open D4:open RV1:open RV2:open'],
    ['a leak beside some ohms is nothing', 'R2:leaky=100 R2:leaky=1000 R2:leaky=10000 R3:leaky=100 R3:leaky=1000 R3:leaky=10000 L1.1:leaky=100 L1.1:leaky=1000 L1.1:leaky=10000 L1.3:leaky=100 L1.3:leaky=1000 L1.3:leaky=10000 R4:leaky=10000'],
    ['an input or output that is open carries nothing but its clamps, which have no step of their own', 'U2.RX:open U3.FLOW:open U3.AIR:open U3.DRV1:open U3.DRV2:open'],
    ['the diode test shows open, or the junction alone, beside a leak of some kilohms', 'U2.RX:leaky=10000 U3.RX:leaky=10000 U3.DRV1:leaky=10000 U3.DRV2:leaky=10000 D7:leaky=10000 OK1.anode-cathode:leaky=10000'],
    ['1 mA through 1 kΩ and more lifts a base junction as a good one does', 'Q1.base-emitter:leaky=1000 Q1.base-emitter:leaky=10000 Q1.base-collector:leaky=1000 Q1.base-collector:leaky=10000 Q2.base-emitter:leaky=1000 Q2.base-emitter:leaky=10000 Q2.base-collector:leaky=1000 Q2.base-collector:leaky=10000'],
  ],
}
masked['vent-driver-node-d'] = [
  ...masked['vent-driver-node'].map(([reason, faults]): [string, string] => [reason, faults.replace(' R3:leaky=10000', '')]),
  ['a leak beside a few ohms is nothing', 'L1:leaky=100 L1:leaky=1000 L1:leaky=10000'],
]

const boardsDrawn = drawnCount(60, 300)

describe.each(allBoards)('%s', (folder) => {
  const board = limitedBoard(folder)
  const named = masked[folder].flatMap(([, faults]) => faults.split(' '))

  it(`a good board passes every step, wherever in their tolerances its parts lie (${boardsDrawn} boards)`, () => {
    const bad = new Set<string>()
    for (let seed = 0; seed < boardsDrawn; seed += 1) {
      const network = networkOf(board, [], { spread: drawSpread(board, seededRandom(seed)) })
      for (const step of board.sequence.steps) {
        if (step.kind !== 'measure') continue
        const read = readingAt(board, network, step)
        if (read === null || !expectedInside(limitsOf(step), read, step.function)) bad.add(`${step.id}, seed ${seed}`)
      }
    }
    expect([...bad]).toEqual([])
  })

  it('every usual single fault fails a step, save those named with a reason', () => {
    const unseen = usualFaults(board).filter((fault) => failedSteps(board, [fault]).length === 0).map(faultText)
    expect(unseen.sort()).toEqual([...named].sort())
  })

  it('measures in more than one function, both ways through a diode, and every part that can fail is in some step', () => {
    const measured = board.sequence.steps.filter((step) => step.kind === 'measure')
    expect(new Set(measured.map((step) => step.function))).toEqual(new Set(['resistance', 'continuity', 'diode']))
    expect(measured.some((one) => measured.some((other) => one.red === other.black && one.black === other.red && one.function === 'diode' && other.function === 'diode'))).toBe(true)
    const inSteps = new Set(board.sequence.steps.flatMap(({ parts }) => parts))
    expect(board.parts.filter(({ kind, ref }) => kind !== 'connector' && !inSteps.has(ref)).map(({ ref }) => ref)).toEqual([])
  })
})

describe('the soil relay', () => {
  const board = sampleBoard('soil-relay')
  const ohms = (red: string, black: string, ...faults: string[]): number => {
    const read = reads(board, faultsOf(board, ...faults), { red, black }, 'resistance')
    return read.ok && typeof read.value === 'number' ? read.value : Number.NaN
  }
  const beside = (...values: number[]): number => 1 / values.reduce((sum, one) => sum + 1 / one, 0)

  it('the relay coil is never measured alone: R3 lies across it, and the supply pair with the driver behind it', () => {
    const round = beside(4700, 12_000) + 100_000
    // To half an ohm: the diode across the coil lets a few nanoamperes through backwards.
    expect(ohms('K1.1', 'K1.2')).toBeCloseTo(beside(1440, 4700, round), 0)
    expect(ohms('K1.1', 'K1.2', 'K1:open')).toBeCloseTo(beside(4700, round), 0)
    expect(ohms('K1.1', 'K1.2', 'R3:open')).toBeCloseTo(beside(1440, round), 0)
  })
  it('its limits leave room for the coil’s 10 % and tell an open R3 from the coldest coil', () => {
    const step = board.sequence.steps.find(({ id }) => id === 'k1')
    const limits = step?.kind === 'measure' && typeof step.limits === 'object' && 'between' in step.limits ? step.limits.between : [0, 0]
    expect(limits[0]).toBeLessThan(beside(1440 * 0.9, 4700 * 0.95, 70_000))
    expect(limits[1]).toBeGreaterThan(beside(1440 * 1.1, 4700 * 1.05))
    expect(limits[1]).toBeLessThan(beside(1440 * 0.9, 70_000))
  })
  it('a shorted driver shows at the supply pair as the coil with R3 across it', () =>
    expect(ohms('C1.1', 'C1.2', 'U2.OUT:short')).toBeCloseTo(beside(4700, 12_000, beside(1440, 4700) + 0.2), -1))
  it('a welded or leaking contact of K1 fails its own step and no other; at rest a good one is open, and one burnt open cannot be told from it', () => {
    for (const fault of ['K1-contact:short', 'K1-contact:short=5', 'K1-contact:leaky=50000']) expect(failedSteps(board, faultsOf(board, fault))).toEqual(['k1-contact'])
    expect(reads(board, [], { red: 'J3.1', black: 'J3.2' }, 'resistance')).toMatchObject({ value: 'overload' })
    expect(parseFault(board, 'K1-contact:open')).toEqual({ problem: expect.stringMatching(/K1-contact is a contact, which cannot be "open"\. Choose from short/) })
    expect(board.sequence.steps.find(({ id }) => id === 'k1-contact')?.means).toMatch(/burnt open does not show/)
  })
  it('the foreign supply of the valve is named, unplugged with the rest, and J3 is proven dead in DC and AC before any step', () => {
    expect([board.cautions.join(' '), board.disconnect.join(' ')]).toEqual([expect.stringMatching(/24 V AC behind a 1 A fuse/), expect.stringMatching(/J3, with its own 24 V AC/)])
    const ids = preparationSteps(board, usualBenchKit).map(({ id }) => id)
    expect(ids.filter((id) => id.startsWith('prepare/store/valve'))).toEqual(['prepare/store/valve', 'prepare/store/valve/ac'])
  })
  it('is short and extra-low: 8 to 15 steps, a look, two things to do, and ways to branch', () => {
    const { steps } = board.sequence
    expect([board.hazard, steps.length >= 8 && steps.length <= 15, steps.filter(({ kind }) => kind === 'look').length, steps.filter(({ kind }) => kind === 'do').length]).toEqual(['extra-low', true, 1, 2])
    expect(steps.flatMap(({ then }) => then).map((branch) => ('stop' in branch ? branch.stop : branch.goTo))).toEqual(['fail', 'd2-forward', 'drive'])
  })
})

describe('revision D of the vent driver node', () => {
  const [c, d] = [sampleBoard('vent-driver-node'), sampleBoard('vent-driver-node-d')]
  it('has a coil where revision C has a second resistor, and is otherwise the same circuit', () => {
    expect([c.id, c.name]).toEqual([d.id, d.name])
    expect(d.parts.filter(({ ref }) => !c.parts.some((part) => part.ref === ref))).toEqual([expect.objectContaining({ ref: 'L1', kind: 'coil', pins: { 1: 'B_IN', 2: 'B' } })])
    expect(c.parts.filter(({ ref }) => !d.parts.some((part) => part.ref === ref))).toEqual([expect.objectContaining({ ref: 'R3', kind: 'resistor', pins: { 1: 'B_IN', 2: 'B' } })])
  })
  it('names R3 nowhere, but where it says how to tell', () => expect(JSON.stringify({ ...d, tell: null })).not.toMatch(/\bR3\b/))
  it.each([[c, d, 'l1'], [d, c, 'r3']] as const)('measured by the sequence of the other, the step in question fails', (lies, taken, id) => {
    const step = taken.sequence.steps.find((one) => one.id === id)
    if (step?.kind !== 'measure') throw new Error('no such step')
    const read = reads(lies, [], { red: 'J1.2', black: lies === c ? 'R3.2' : 'L1.2' }, step.function)
    expect(read.ok && expectedInside(limitsOf(step), read.value, step.function)).toBe(false)
  })
})
