/** Boards of any size drawn from a seed, every net a test point, and faults for them: for the solver's checks and figures. */
import type { BoardType, Part } from '../../src-core/board/board-type'
import type { PartFault } from '../../src-core/circuit/faults'
import type { Random } from '../../src-core/circuit/seeded-random'
import { closeFigures, usualFaults } from '../../src-core/circuit/usual-faults'

const pick = <T>(of: readonly T[], random: Random): T => {
  const found = of[Math.floor(random() * of.length)]
  if (found === undefined) throw new Error('There is nothing to pick from.')
  return found
}
const between = (low: number, high: number, random: Random): number => Number((low * (high / low) ** random()).toPrecision(3))

/** How often each kind is drawn. */
const kinds = [
  ['resistor', 40], ['diode', 18], ['capacitor', 10], ['zener', 7], ['two-way-protector', 5], ['ic', 6], ['coil', 5], ['fuse', 3],
  ['choke', 3], ['contact', 2], ['connector', 1],
] as const satisfies readonly (readonly [Part['kind'], number])[]
type DrawnKind = (typeof kinds)[number][0]
const kindOf = (random: Random): DrawnKind => {
  let left = random() * kinds.reduce((sum, [, weight]) => sum + weight, 0)
  return kinds.find(([, weight]) => { left -= weight; return left < 0 })?.[0] ?? 'resistor'
}

const partOf = (ref: string, kind: DrawnKind, net: () => string, random: Random): Part => {
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
    case 'contact': case 'connector': return { ref, kind, pins: two }
  }
}

/** `parts` parts over some two thirds as many nets; most hang together, and what does not is left floating. */
export const randomBoard = (parts: number, random: Random): BoardType => {
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
  const drawn = Array.from({ length: parts }, (_, at) => partOf(`P${at + 1}`, kindOf(random), net, random))
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
