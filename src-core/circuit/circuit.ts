/** A network made ready for many solutions: nets by number, its parts that conduct to each other, values in typed arrays. */
import type { Element, Exponential, Junction, Network, Resistance } from './elements'

/** Resistances of one component; nets by their place in it, `at` the place of the pair in a matrix, `element` in the network's list. */
export type Resistances = { count: number; a: Int32Array; b: Int32Array; at: Int32Array; siemens: Float64Array; element: Int32Array }

/** Junctions of one component. `zero` is the exponential's own current at no voltage, A; an exponential of 0 A is none. */
export type Junctions = {
  count: number; a: Int32Array; c: Int32Array; at: Int32Array; element: Int32Array; series: Float64Array; leakage: Float64Array
  forward: Float64Array; forwardAt: Float64Array; forwardSlope: Float64Array; forwardZero: Float64Array
  reverse: Float64Array; reverseAt: Float64Array; reverseSlope: Float64Array; reverseZero: Float64Array
}

/** Nets that a direct current can join, in order of elimination, and the conductances of the resistances between them (upper triangle). */
export type Component = { nets: Int32Array; size: number; resistances: Resistances; junctions: Junctions; siemens: Float64Array }

export type Circuit = {
  elements: readonly Element[]
  nets: readonly string[]; netNumber: ReadonlyMap<string, number>
  /** Per net: its component and its place in it. */
  component: Int32Array; place: Int32Array
  components: readonly Component[]
  /** Why it has no solution, naming the part; null where nothing is wrong. */
  problem: string | null
}

const positive = (value: number): boolean => Number.isFinite(value) && value > 0

const problemOf = (element: Element): string | null => {
  switch (element.kind) {
    case 'resistance': return positive(element.ohms) ? null : `${element.part} has a resistance of ${element.ohms} Ω, which cannot be.`
    case 'capacitance': return Number.isFinite(element.farads) && element.farads >= 0 ? null
      : `${element.part} has a capacitance of ${element.farads} F, which cannot be.`
    case 'junction': {
      const sound = [element.forward, element.reverse].every((one) => one === null
        || (positive(one.amperes) && positive(one.slopeVolts) && Number.isFinite(one.atVolts)))
        && [element.seriesOhms, element.leakageSiemens].every((one) => Number.isFinite(one) && one >= 0)
        && (element.forward !== null || element.reverse !== null || element.leakageSiemens > 0)
      return sound ? null : `${element.part} has a junction whose figures cannot be.`
    }
  }
}

/** Per net the number of its component; the numbers count up from 0 in the order of the nets. */
const componentsOf = (count: number, ends: Int32Array, conducts: readonly number[]): { component: Int32Array; sizes: number[] } => {
  const leader = new Int32Array(count)
  for (let net = 0; net < count; net += 1) leader[net] = net
  const find = (net: number): number => {
    let at = net
    while (leader[at] !== at) at = leader[at] as number
    leader[net] = at
    return at
  }
  for (const index of conducts) leader[find(ends[2 * index] as number)] = find(ends[2 * index + 1] as number)
  const component = new Int32Array(count)
  const numbered = new Int32Array(count).fill(-1)
  const sizes: number[] = []
  for (let net = 0; net < count; net += 1) {
    const first = find(net)
    if (numbered[first] === -1) numbered[first] = sizes.push(0) - 1
    const number = numbered[first] as number
    component[net] = number
    sizes[number] = (sizes[number] ?? 0) + 1
  }
  return { component, sizes }
}

/** Places with the fewest neighbours first, those that elimination joins counted: little is then filled in (minimum degree, from memory). */
const eliminationOrder = (size: number, pairs: readonly [number, number][]): Int32Array => {
  const near = new Uint8Array(size * size)
  const degree = new Int32Array(size)
  const join = (a: number, b: number): void => {
    if (near[a * size + b] === 1) return
    near[a * size + b] = 1
    near[b * size + a] = 1
    degree[a] = (degree[a] as number) + 1
    degree[b] = (degree[b] as number) + 1
  }
  for (const [a, b] of pairs) join(a, b)
  const order = new Int32Array(size)
  const left = Array.from({ length: size }, (_, at) => at)
  for (let step = 0; step < size; step += 1) {
    let chosen = 0
    for (let at = 1; at < left.length; at += 1) if ((degree[left[at] as number] as number) < (degree[left[chosen] as number] as number)) chosen = at
    const [net] = left.splice(chosen, 1) as [number]
    const others = left.filter((other) => near[net * size + other] === 1)
    for (const other of others) degree[other] = (degree[other] as number) - 1
    others.forEach((one, at) => { for (let later = at + 1; later < others.length; later += 1) join(one, others[later] as number) })
    order[step] = net
  }
  return order
}

/** An element of a component with its ends by their places in it. */
export type Placed<E> = { element: E; index: number; a: number; b: number }

const placeInMatrix = ({ a, b }: Placed<Element>, size: number): number => (a < b ? a * size + b : b * size + a)

const integers = <T>(of: readonly T[], value: (one: T) => number): Int32Array => {
  const values = new Int32Array(of.length)
  for (let at = 0; at < of.length; at += 1) values[at] = value(of[at] as T)
  return values
}
const figures = <T>(of: readonly T[], value: (one: T) => number): Float64Array => {
  const values = new Float64Array(of.length)
  for (let at = 0; at < of.length; at += 1) values[at] = value(of[at] as T)
  return values
}

const resistancesOf = (own: readonly Placed<Resistance>[], size: number): Resistances => ({
  count: own.length, a: integers(own, ({ a }) => a), b: integers(own, ({ b }) => b),
  at: integers(own, (one) => placeInMatrix(one, size)),
  siemens: figures(own, ({ element }) => 1 / element.ohms), element: integers(own, ({ index }) => index),
})

const zeroOf = (one: Exponential | null): number => (one === null ? 0 : one.amperes * Math.exp(-one.atVolts / one.slopeVolts))

export const junctionsOf = (own: readonly Placed<Junction>[], size: number): Junctions => ({
  count: own.length, a: integers(own, ({ a }) => a), c: integers(own, ({ b }) => b),
  at: integers(own, (one) => placeInMatrix(one, size)), element: integers(own, ({ index }) => index),
  series: figures(own, ({ element }) => element.seriesOhms), leakage: figures(own, ({ element }) => element.leakageSiemens),
  forward: figures(own, ({ element }) => element.forward?.amperes ?? 0), forwardAt: figures(own, ({ element }) => element.forward?.atVolts ?? 0),
  forwardSlope: figures(own, ({ element }) => element.forward?.slopeVolts ?? 1), forwardZero: figures(own, ({ element }) => zeroOf(element.forward)),
  reverse: figures(own, ({ element }) => element.reverse?.amperes ?? 0), reverseAt: figures(own, ({ element }) => element.reverse?.atVolts ?? 0),
  reverseSlope: figures(own, ({ element }) => element.reverse?.slopeVolts ?? 1), reverseZero: figures(own, ({ element }) => zeroOf(element.reverse)),
})

const componentOf = (
  size: number, nets: Int32Array, resistors: readonly Placed<Resistance>[], diodes: readonly Placed<Junction>[],
): Component => {
  const resistances = resistancesOf(resistors, size)
  const siemens = new Float64Array(size * size)
  for (let at = 0; at < resistances.count; at += 1) {
    const place = resistances.at[at] as number
    siemens[place] = (siemens[place] as number) + (resistances.siemens[at] as number)
  }
  return { nets, size, resistances, junctions: junctionsOf(diodes, size), siemens }
}

/** Elements with both ends on one net are left out of it: nothing flows in them that a meter sees. */
export const compile = ({ elements }: Network): Circuit => {
  const netNumber = new Map<string, number>()
  const nets: string[] = []
  const numberOf = (net: string): number => {
    const known = netNumber.get(net)
    if (known !== undefined) return known
    netNumber.set(net, nets.length)
    return nets.push(net) - 1
  }
  const ends = new Int32Array(2 * elements.length)
  const conducts: number[] = []
  let problem: string | null = null
  elements.forEach((element, index) => {
    const junction = element.kind === 'junction'
    const a = numberOf(junction ? element.anode : element.from)
    const b = numberOf(junction ? element.cathode : element.to)
    ends[2 * index] = a
    ends[2 * index + 1] = b
    if (element.kind !== 'capacitance' && a !== b) conducts.push(index)
    problem ??= problemOf(element)
  })
  const { component, sizes } = componentsOf(nets.length, ends, conducts)
  const members = sizes.map((): number[] => [])
  const place = new Int32Array(nets.length)
  component.forEach((number, net) => { place[net] = (members[number]?.push(net) ?? 0) - 1 })
  const within = sizes.map((): number[] => [])
  for (const index of conducts) within[component[ends[2 * index] as number] as number]?.push(index)
  const components = members.map((own, number): Component => {
    const size = own.length
    const listed = within[number] ?? []
    const order = eliminationOrder(size, listed.map((index) =>
      [place[ends[2 * index] as number] as number, place[ends[2 * index + 1] as number] as number]))
    const ordered = order.map((at) => own[at] as number)
    ordered.forEach((net, at) => { place[net] = at })
    const resistors: Placed<Resistance>[] = []
    const diodes: Placed<Junction>[] = []
    for (const index of listed) {
      const element = elements[index] as Element
      const [a, b] = [place[ends[2 * index] as number] as number, place[ends[2 * index + 1] as number] as number]
      if (element.kind === 'resistance') resistors.push({ element, index, a, b })
      else if (element.kind === 'junction') diodes.push({ element, index, a, b })
    }
    return componentOf(size, ordered, resistors, diodes)
  })
  return { elements, nets, netNumber, component, place, components, problem }
}
