/** Boards of any size drawn from a seed, every net a test point, and faults for them: for the solver's checks and figures. */
import type { BoardType, Part } from '../../src-core/board/board-type'
import { partKind } from '../../src-core/board/part'
import type { Fault, PartFault } from '../../src-core/circuit/faults'
import type { Random } from '../../src-core/circuit/seeded-random'
import { closeFigures, usualFaults } from '../../src-core/circuit/usual-faults'

const pick = <T>(of: readonly T[], random: Random): T => {
  const found = of[Math.floor(random() * of.length)]
  if (found === undefined) throw new Error('There is nothing to pick from.')
  return found
}
const between = (low: number, high: number, random: Random): number => Number((low * (high / low) ** random()).toPrecision(3))

/** How often each kind is drawn. */
export type Mix = readonly (readonly [Part['kind'], number])[]
/** What most boards are made of. */
export const usualMix: Mix = [
  ['resistor', 40], ['diode', 18], ['capacitor', 10], ['zener', 7], ['two-way-protector', 5], ['ic', 6], ['coil', 5], ['fuse', 3],
  ['choke', 3], ['contact', 2], ['connector', 1],
]
/** Every kind a board file knows, resistors often enough to join them. */
export const everyKind: Mix = partKind.options.map((kind) => [kind, kind === 'resistor' ? 12 : 2] as const)

const kindOf = (mix: Mix, random: Random): Part['kind'] => {
  let left = random() * mix.reduce((sum, [, weight]) => sum + weight, 0)
  return mix.find(([, weight]) => { left -= weight; return left < 0 })?.[0] ?? 'resistor'
}

const partOf = (ref: string, kind: Part['kind'], net: () => string, random: Random): Part => {
  const two = { 1: net(), 2: net() }
  switch (kind) {
    case 'resistor': return { ref, kind, value: between(1, 1e6, random), tolerance: 0.01, pins: two }
    case 'capacitor': return { ref, kind, value: between(1e-10, 1e-3, random), tolerance: 0.2, pins: two }
    case 'coil': return { ref, kind, value: between(1e-6, 1e-2, random), windingOhms: between(0.05, 100, random), pins: two }
    case 'fuse': return { ref, kind, value: between(0.02, 2, random), pins: two }
    case 'choke': return { ref, kind, windingOhms: between(0.05, 10, random), pins: { ...two, 3: net(), 4: net() } }
    case 'diode': return { ref, kind, pins: { anode: net(), cathode: net() } }
    case 'zener': return { ref, kind, value: between(2.4, 33, random), tolerance: 0.05, pins: { anode: net(), cathode: net() } }
    case 'two-way-protector': return { ref, kind, value: between(2.8, 33, random), tolerance: 0.05, pins: two }
    case 'ic': return { ref, kind, value: between(1e4, 1e6, random), tolerance: 0.3, pins: { GND: 'n0', VCC: net(), A: net(), B: net() } }
    case 'ntc': case 'ptc': return { ref, kind, value: between(1, 1e5, random), tolerance: 0.1, pins: two }
    case 'ferrite-bead': return { ref, kind, windingOhms: between(0.02, 1, random), pins: two }
    case 'transformer': return { ref, kind, windingOhms: between(0.1, 500, random), pins: { ...two, 3: net(), 4: net() } }
    case 'rectifier': case 'schottky': return { ref, kind, pins: { anode: net(), cathode: net() } }
    case 'led': return { ref, kind, value: between(1.4, 3.3, random), pins: { anode: net(), cathode: net() } }
    case 'tvs': return { ref, kind, value: between(3, 60, random), tolerance: 0.05, pins: { anode: net(), cathode: net() } }
    case 'varistor': return { ref, kind, value: between(8, 60, random), tolerance: 0.1, pins: two }
    case 'thyristor-protector': return { ref, kind, value: between(8, 60, random), tolerance: 0.1, pins: two }
    case 'gas-tube': return { ref, kind, pins: { a: net(), b: net(), common: net() } }
    case 'bridge': return { ref, kind, pins: { AC1: net(), AC2: net(), plus: net(), minus: net() } }
    case 'optocoupler': return { ref, kind, pins: { anode: net(), cathode: net(), collector: net(), emitter: net() } }
    case 'npn': case 'pnp': return { ref, kind, pins: { base: net(), collector: net(), emitter: net() } }
    case 'n-mosfet': case 'p-mosfet': return { ref, kind, pins: { gate: net(), drain: net(), source: net() } }
    case 'contact': case 'closed-contact': case 'connector': case 'link': return { ref, kind, pins: two }
  }
}

/** `parts` parts over some two thirds as many nets; most hang together, and what does not is left floating. */
export const randomBoard = (parts: number, random: Random, mix = usualMix): BoardType => {
  const count = Math.max(2, Math.round(parts * (0.4 + 0.4 * random())))
  const nets = Array.from({ length: count }, (_, at) => `n${at}`)
  let used = 1
  // One pin on a net that is used already, another on the next new one: a tree that the later parts close to meshes.
  const net = (): string => {
    if (used < count && random() < 0.6) {
      used += 1
      return `n${used - 1}`
    }
    return random() < 0.25 ? 'n0' : pick(nets.slice(0, used), random)
  }
  const drawn = Array.from({ length: parts }, (_, at) => partOf(`P${at + 1}`, kindOf(mix, random), net, random))
  return {
    schema: 'probewright/board-type/1', id: 'drawn', name: 'Drawn board', revision: 'A', hazard: 'extra-low', mainsReferenced: false, cautions: [],
    pictures: [], nets, testPoints: nets.map((name) => ({ id: `T${name}`, net: name, picture: 'top', x: 0, y: 0, words: name })), parts: drawn,
    energyStores: [], disconnect: [], sequence: { id: 'none', version: 1, steps: [{ id: 'look', kind: 'look', title: 'look', parts: [], then: [], words: 'look' }] },
  }
}

/** So many faults of different parts, as far as there are any. */
export const randomFaults = (board: BoardType, count: number, random: Random): PartFault[] => {
  const all = usualFaults(board, closeFigures)
  const faults: PartFault[] = []
  while (faults.length < count) {
    const left = all.filter(({ ref }) => !faults.some((one) => one.ref === ref))
    if (left.length === 0) break
    faults.push(pick(left, random))
  }
  return faults
}

/** As `randomFaults`; one in ten is a bridge between two nets instead. */
export const randomFaultsAndBridges = (board: BoardType, count: number, random: Random): Fault[] => randomFaults(board, count, random)
  .map((fault): Fault => (random() < 0.1 ? { kind: 'bridge', nets: [board.nets[0] ?? '', pick(board.nets.slice(1), random)], ohms: between(0.05, 5, random) } : fault))
