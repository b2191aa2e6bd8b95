import { describe, expect, it } from 'vitest'
import { placesOf } from '../../../src-core/board/part-places'
import { partKind } from '../../../src-core/board/part'
import { allowedAt, faultInWords, faultText, parseFault } from '../../../src-core/circuit/faults'
import { liftedNet, networkOf } from '../../../src-core/circuit/network'
import { neighbouringNets } from '../../../src-core/circuit/neighbours'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { drawSpread, spreadsOf } from '../../../src-core/circuit/spread'
import { usualBridges, usualFaults } from '../../../src-core/circuit/usual-faults'
import { boardOf, elementsOf, junctionOf, ohmsOf, partOf } from './one-part'
import { allBoards, faultsOf, sampleBoard } from './sample'

const resistor = partOf('resistor', ['1', '2'], { value: 1000 })
const npn = partOf('npn', ['base', 'collector', 'emitter'])
const ic = partOf('ic', ['IN', 'OUT', 'VCC', 'GND'], { value: 20_000 })

describe('a fault', () => {
  it('turns, replaces, adds or multiplies', () => {
    expect(elementsOf(resistor, ['X1:open'])).toEqual([])
    expect(ohmsOf(elementsOf(resistor, ['X1:short=0.5']))).toEqual([0.5])
    expect(ohmsOf(elementsOf(resistor, ['X1:leaky=300']))).toEqual([1000, 300])
    expect(ohmsOf(elementsOf(resistor, ['X1:drifted=2.2']))).toEqual([2200])
    expect(junctionOf(elementsOf(partOf('diode', ['anode', 'cathode']), ['X1:reversed']))).toMatchObject({ anode: 'CATHODE', cathode: 'ANODE' })
  })
  it('of several at one place the last named counts; at different places all do', () => {
    expect(ohmsOf(elementsOf(resistor, ['X1:open', 'X1:leaky=300']))).toEqual([1000, 300])
    expect(elementsOf(resistor, ['X1:leaky=300', 'X1:open'])).toEqual([])
    const windings = partOf('choke', ['1', '2', '3', '4'], { windingOhms: 5 })
    expect(ohmsOf(elementsOf(windings, ['X1:drifted=2', 'X1.3:short=0.1']))).toEqual([10, 0.1])
    expect(ohmsOf(elementsOf(windings, ['X1.1:drifted=3', 'X1.3:short=0.1']))).toEqual([15, 0.1])
  })
  it('of one junction leaves the others of its part alone', () => {
    expect(elementsOf(npn, ['X1.base-emitter:open'])).toHaveLength(1)
    expect(ohmsOf(elementsOf(npn, ['X1.collector-emitter:short=1']))).toEqual([1])
    expect(elementsOf(npn, ['X1.collector-emitter:short=1'])).toHaveLength(3)
    expect(elementsOf(npn, ['X1:open'])).toEqual([])
  })
  it('of an IC pin is to its negative supply; the diode to plus stays with a short, and goes with an open bond', () => {
    const [sound, shorted, open] = [elementsOf(ic), elementsOf(ic, ['X1.IN:short=2']), elementsOf(ic, ['X1.IN:open'])]
    const touching = (elements: typeof sound): number => elements.filter((each) => each.kind === 'junction' && (each.anode === 'IN' || each.cathode === 'IN')).length
    expect([touching(sound), touching(shorted), touching(open)]).toEqual([2, 1, 0])
    expect(shorted).toContainEqual({ kind: 'resistance', part: 'X1', from: 'IN', to: 'GND', ohms: 2 })
  })
  it('may be a bridge between two nets, typed as NET/NET:bridge', () => {
    const board = boardOf(resistor, ic)
    expect(networkOf(board, faultsOf(board, 'IN/OUT:bridge=3')).elements).toContainEqual({ kind: 'resistance', part: 'IN/OUT', from: 'IN', to: 'OUT', ohms: 3 })
    expect(faultsOf(board, 'IN/OUT:bridge').map(faultText)).toEqual(['IN/OUT:bridge'])
    expect(faultsOf(board, 'IN/OUT:bridge').map(faultInWords)).toEqual(['a bridge joins nets IN and OUT (0.2 Ω)'])
    expect(parseFault(board, 'IN/NIL:bridge')).toEqual({ problem: expect.stringMatching(/no net NIL\. Its nets are 1, 2, IN/) })
    expect(parseFault(board, 'IN/OUT:open')).toEqual({ problem: expect.stringMatching(/two nets can only be joined\. Write IN\/OUT:bridge/) })
    expect(parseFault(board, 'IN/IN:bridge')).toEqual({ problem: expect.stringMatching(/both are IN/) })
  })
  it('of every place and kind of every sort of part makes a network, and reads back as it is typed', () => {
    const pins: Partial<Record<(typeof partKind.options)[number], string[]>> = {
      choke: ['1', '2', '3', '4'], transformer: ['1', '2', '3', '4'], bridge: ['AC1', 'AC2', 'plus', 'minus'], optocoupler: ['anode', 'cathode', 'collector', 'emitter'],
      npn: ['base', 'collector', 'emitter'], pnp: ['base', 'collector', 'emitter'], 'n-mosfet': ['gate', 'drain', 'source'], 'p-mosfet': ['gate', 'drain', 'source'],
      ic: ['IN', 'VCC', 'GND'], ...Object.fromEntries(['diode', 'rectifier', 'schottky', 'zener', 'tvs', 'led'].map((kind) => [kind, ['anode', 'cathode']])),
    }
    for (const kind of partKind.options) {
      const part = partOf(kind, pins[kind] ?? ['1', '2'], { value: 10 })
      const board = boardOf(part)
      const sound = networkOf(board, []).elements
      expect([kind, placesOf(part).length > 0]).toEqual([kind, kind !== 'connector'])
      for (const { place } of placesOf(part)) {
        expect(allowedAt(part, place).length, `${kind} ${String(place)}`).toBeGreaterThan(0)
        for (const fault of usualFaults(board).filter(({ pin }) => pin === place)) {
          expect(networkOf(board, [fault]).elements, faultText(fault)).not.toEqual(sound)
          expect(faultsOf(board, faultText(fault))).toEqual([fault])
        }
      }
    }
  })
})

describe('the board’s state', () => {
  it('lifted: the pin hangs on a net of its own', () => {
    expect(elementsOf(resistor, [], { state: [{ ref: 'X1', pin: '1', is: 'lifted' }] })).toEqual([{ kind: 'resistance', part: 'X1', from: liftedNet('X1', '1'), to: '2', ohms: 1000 }])
    const transistor = elementsOf(npn, [], { state: [{ ref: 'X1', pin: 'base', is: 'lifted' }] })
    expect(transistor.map((each) => (each.kind === 'junction' ? each.anode : null))).toEqual([liftedNet('X1', 'base'), liftedNet('X1', 'base')])
  })
  it('removed: nothing of the part is left, its faults neither', () => expect(elementsOf(resistor, ['X1:leaky=100'], { state: [{ ref: 'X1', is: 'removed' }] })).toEqual([]))
  it('jumpered: a wire lies across it', () => expect(ohmsOf(elementsOf(resistor, ['X1:open'], { state: [{ ref: 'X1', is: 'jumpered' }] }))).toEqual([0.05]))
  it('a link that is a connector is pulled unless it is fitted; a fitted part is as ever', () => {
    const link = partOf('connector', ['1', '2'])
    expect(elementsOf(link)).toEqual([])
    expect(ohmsOf(elementsOf(link, [], { state: [{ ref: 'X1', is: 'fitted' }] }))).toEqual([0.05])
    expect(ohmsOf(elementsOf(resistor, [], { state: [{ ref: 'X1', is: 'fitted' }] }))).toEqual([1000])
  })
  it('of another part changes nothing', () => expect(elementsOf(resistor, [], { state: [{ ref: 'X9', is: 'removed' }] })).toEqual(elementsOf(resistor)))
  it('a stray leak is of no part', () => {
    const board = boardOf(resistor)
    expect(networkOf(board, [], { strays: [{ nets: ['1', '2'], ohms: 5e5 }] }).elements.filter(({ part }) => part !== 'X1')).toEqual([{ kind: 'resistance', part: '1/2', from: '1', to: '2', ohms: 5e5 }])
  })
})

describe('the spread of good parts', () => {
  it('multiplies a value, or a saturation current, each under its key', () => {
    expect(ohmsOf(elementsOf(resistor, [], { spread: { X1: 0.95 } }))).toEqual([950])
    const [usual, spread] = [junctionOf(elementsOf(npn)), junctionOf(elementsOf(npn, [], { spread: { X1: 2 } }))]
    expect((spread.forward?.amperes ?? 0) / (usual.forward?.amperes ?? 1)).toBeCloseTo(2, 9)
    const both = elementsOf(ic, [], { spread: { X1: 1.1, 'X1.clamps': 3 } })
    expect(ohmsOf(both)[0]).toBeCloseTo(22_000, 6)
    expect((junctionOf(both).forward?.amperes ?? 0) / (junctionOf(elementsOf(ic)).forward?.amperes ?? 1)).toBeCloseTo(3, 9)
  })
  it.each(allBoards)('of %s is drawn inside its widths, every key of it, and reaches towards both ends', (folder) => {
    const board = sampleBoard(folder)
    const drawn = Array.from({ length: 200 }, (_, seed) => drawSpread(board, seededRandom(seed)))
    for (const { key, law, width } of spreadsOf(board)) {
      const [low, high] = law === 'even' ? [1 - width, 1 + width] : [1 / width, width]
      const factors = drawn.map((spread) => spread[key] ?? Number.NaN)
      expect(Math.min(...factors), key).toBeGreaterThanOrEqual(low)
      expect(Math.max(...factors), key).toBeLessThanOrEqual(high)
      expect(Math.max(...factors) - Math.min(...factors), key).toBeGreaterThan(0.8 * (high - low))
    }
  })
})

describe('neighbouring nets', () => {
  const pairs = (folder: (typeof allBoards)[number]): string[] => neighbouringNets(sampleBoard(folder)).map((nets) => nets.join('/'))
  it('are those at the ends of one part, and under test points that lie close together', () => {
    expect(pairs('vent-driver-node')).toContain('A/A_IN')
    expect(pairs('vent-driver-node')).toContain('A_IC/B_IC')
    expect(pairs('vent-driver-node')).not.toContain('A_IN/VCC')
  })
  it('are those the board file lists, where it lists any', () => {
    expect(neighbouringNets({ ...sampleBoard(), neighbours: [['V24', 'GND'], ['GND', 'V24'], ['A', 'A']] })).toEqual([['GND', 'V24']])
  })
  it('make one bridge each, none twice', () => {
    const bridges = usualBridges(sampleBoard('valve-hub')).map(faultText)
    expect(new Set(bridges).size).toBe(bridges.length)
    expect(bridges.length).toBeGreaterThan(30)
  })
})
