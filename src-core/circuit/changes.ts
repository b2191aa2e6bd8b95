/** What a fault changes in a good circuit: the few elements that go and come, ready for a low-rank update. */
import { type Circuit, compile, type Component, type Junctions, junctionsOf, type Placed } from './circuit'
import type { Element, Junction, Network } from './elements'
import { type Reader, readerOf } from './read'

/** Elements of one component by their number in it; junctions that come are numbers in the component's table (`tables`). */
export type Ports = {
  component: number; goneResistances: number[]; goneJunctions: number[]
  newResistances: { pair: number; siemens: number }[]; newJunctions: number[]
  /** Where what goes leaves the component in pieces: the piece of each place. A single element that goes carried nothing within one. */
  pieces: Int32Array | null; single: boolean
}
/** `read`: joined to what the good circuit does not join; it is read as a circuit of its own. */
export type Change = { kind: 'none' } | { kind: 'ports'; ports: Ports; reader: () => Reader } | { kind: 'read'; reader: () => Reader }

/** Of one component: its junctions, then those that faults bring; and every pair of places that an element, there or to come, lies between. */
export type Table = { junctions: Junctions; a: Int32Array; b: Int32Array; pairOfResistance: Int32Array; pairOfJunction: Int32Array }
export type Changes = { changes: Change[]; tables: Table[]; mostPorts: number }

const sameLaw = (a: Junction['forward'], b: Junction['forward']): boolean =>
  a === b || (a !== null && b !== null && a.amperes === b.amperes && a.atVolts === b.atVolts && a.slopeVolts === b.slopeVolts)

const same = (a: Element, b: Element): boolean => {
  if (a.kind === 'resistance') return b.kind === 'resistance' && a.ohms === b.ohms && a.from === b.from && a.to === b.to
  if (a.kind === 'capacitance') return b.kind === 'capacitance' && a.farads === b.farads && a.from === b.from && a.to === b.to
  return b.kind === 'junction' && a.anode === b.anode && a.cathode === b.cathode && sameLaw(a.forward, b.forward) && sameLaw(a.reverse, b.reverse)
    && a.seriesOhms === b.seriesOhms && a.leakageSiemens === b.leakageSiemens
}

/** Places in `good` that are gone from `faulted`, and what is new there: both lists follow the board's parts, so the rest stays in order. */
const difference = (good: readonly Element[], faulted: readonly Element[]): { gone: number[]; fresh: Element[] } => {
  let from = 0
  while (from < good.length && from < faulted.length && same(good[from] as Element, faulted[from] as Element)) from += 1
  let cut = 0
  const longest = Math.min(good.length, faulted.length) - from
  while (cut < longest && same(good[good.length - 1 - cut] as Element, faulted[faulted.length - 1 - cut] as Element)) cut += 1
  const left = faulted.slice(from, faulted.length - cut)
  const gone: number[] = []
  for (let at = from; at < good.length - cut; at += 1) {
    const kept = left.findIndex((element) => same(element, good[at] as Element))
    if (kept < 0) gone.push(at)
    else left.splice(kept, 1)
  }
  return { gone, fresh: left }
}

const conducts = (element: Element): boolean => element.kind !== 'capacitance'
  && (element.kind === 'junction' ? element.anode !== element.cathode : element.from !== element.to)

/** The piece each place is in once `faulted` is all there is; null while the component hangs together. */
const piecesOf = (component: Component, circuit: Circuit, faulted: Circuit): Int32Array | null => {
  const pieces = new Int32Array(component.size)
  component.nets.forEach((net, at) => {
    const number = faulted.netNumber.get(circuit.nets[net] ?? '')
    // A net that lost its last element stands alone.
    pieces[at] = number === undefined ? -1 - at : faulted.component[number] as number
  })
  return pieces.every((piece) => piece === pieces[0]) ? null : pieces
}

/** Each of the faulted networks against the good one. */
export const changesOf = (good: Network, circuit: Circuit, faulted: readonly Network[]): Changes => {
  const numberIn = new Int32Array(good.elements.length).fill(-1)
  for (const { resistances, junctions } of circuit.components) {
    resistances.element.forEach((element, at) => { numberIn[element] = at })
    junctions.element.forEach((element, at) => { numberIn[element] = at })
  }
  const placed = (element: Junction, index: number): Placed<Junction> => ({ element, index,
    a: circuit.place[circuit.netNumber.get(element.anode) ?? -1] ?? 0, b: circuit.place[circuit.netNumber.get(element.cathode) ?? -1] ?? 0 })
  const listed = circuit.components.map(({ junctions }) =>
    [...junctions.element].map((index) => placed(good.elements[index] as Junction, index)))
  const pairs = circuit.components.map((): { a: number[]; b: number[]; known: Map<number, number> } => ({ a: [], b: [], known: new Map() }))
  const pairOf = (component: number, a: number, b: number): number => {
    const own = pairs[component] as (typeof pairs)[number]
    const key = a * 65_536 + b
    const number = own.known.get(key) ?? own.a.push(a) - 1
    if (own.known.has(key)) return number
    own.b.push(b)
    own.known.set(key, number)
    return number
  }
  let mostPorts = 0

  const changeTo = (network: Network): Change => {
    const { gone, fresh } = difference(good.elements, network.elements)
    const [going, coming] = [gone.filter((at) => conducts(good.elements[at] as Element)), fresh.filter(conducts)]
    if (going.length + coming.length === 0) return { kind: 'none' }
    let kept: Reader | null = null
    const reader = (): Reader => (kept ??= readerOf(network))
    const where = new Set([...going.map((at) => good.elements[at] as Element), ...coming].flatMap((element) =>
      (element.kind === 'junction' ? [element.anode, element.cathode] : [element.from, element.to])).map((net) => {
      const number = circuit.netNumber.get(net)
      return number === undefined ? -1 : circuit.component[number] as number
    }))
    const [component] = where
    if (where.size !== 1 || component === undefined || component < 0) return { kind: 'read', reader }
    const table = listed[component] as Placed<Junction>[]
    const ports: Ports = {
      component, goneResistances: [], goneJunctions: [], newResistances: [], newJunctions: [],
      pieces: coming.length > 0 && going.length < 2 ? null : piecesOf(circuit.components[component] as Component, circuit, compile(network)),
      single: going.length === 1 && coming.length === 0,
    }
    for (const at of going) (good.elements[at]?.kind === 'resistance' ? ports.goneResistances : ports.goneJunctions).push(numberIn[at] as number)
    for (const element of coming) {
      if (element.kind === 'junction') ports.newJunctions.push(table.push(placed(element, -1)) - 1)
      else if (element.kind === 'resistance') {
        const [a, b] = [element.from, element.to].map((net) => circuit.place[circuit.netNumber.get(net) ?? -1] as number) as [number, number]
        ports.newResistances.push({ pair: pairOf(component, a, b), siemens: 1 / element.ohms })
      }
    }
    mostPorts = Math.max(mostPorts, going.length + coming.length)
    return { kind: 'ports', ports, reader }
  }

  const changes = faulted.map(changeTo)
  const tables = circuit.components.map(({ size, resistances }, at): Table => {
    const junctions = junctionsOf(listed[at] ?? [], size)
    const pairOfResistance = resistances.a.map((a, which) => pairOf(at, a, resistances.b[which] as number))
    const pairOfJunction = junctions.a.map((a, which) => pairOf(at, a, junctions.c[which] as number))
    return { junctions, a: Int32Array.from(pairs[at]?.a ?? []), b: Int32Array.from(pairs[at]?.b ?? []), pairOfResistance, pairOfJunction }
  })
  return { changes, tables, mostPorts }
}
