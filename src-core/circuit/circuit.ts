/** A network made ready for many solutions: nets by number, its parts that conduct to each other, values in typed arrays. */
import type { Element, Network } from './elements'

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

export const endsOf = (element: Element): [string, string] =>
  (element.kind === 'junction' ? [element.anode, element.cathode] : [element.from, element.to])

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

/** Numbers of the nets that conduct to each other, each list in the order of the nets. */
const groupsOf = (count: number, pairs: readonly (readonly [number, number])[]): number[][] => {
  const leader = Int32Array.from({ length: count }, (_, at) => at)
  const find = (net: number): number => {
    let at = net
    while (leader[at] !== at) at = leader[at] ?? 0
    return at
  }
  for (const [a, b] of pairs) leader[find(a)] = find(b)
  const groups = new Map<number, number[]>()
  for (let net = 0; net < count; net += 1) groups.set(find(net), [...(groups.get(find(net)) ?? []), net])
  return [...groups.values()]
}

/** Nets with the fewest neighbours first, those that elimination joins counted: little is then filled in (minimum degree, from memory). */
const eliminationOrder = (nets: readonly number[], pairs: readonly (readonly [number, number])[]): number[] => {
  const near = new Map(nets.map((net) => [net, new Set<number>()]))
  for (const [a, b] of pairs) { near.get(a)?.add(b); near.get(b)?.add(a) }
  const order: number[] = []
  while (near.size > 0) {
    let [least, fewest] = [-1, Infinity]
    for (const [net, others] of near) if (others.size < fewest) [least, fewest] = [net, others.size]
    const others = near.get(least) ?? new Set()
    near.delete(least)
    for (const one of others) for (const other of others) if (one !== other) near.get(one)?.add(other)
    for (const one of others) near.get(one)?.delete(least)
    order.push(least)
  }
  return order
}

type Listed = { element: Element; index: number; a: number; b: number }

const resistancesOf = (listed: readonly Listed[], size: number): Resistances => {
  const own = listed.flatMap(({ element, ...rest }) => (element.kind === 'resistance' ? [{ element, ...rest }] : []))
  return {
    count: own.length, a: Int32Array.from(own, ({ a }) => a), b: Int32Array.from(own, ({ b }) => b),
    at: Int32Array.from(own, ({ a, b }) => Math.min(a, b) * size + Math.max(a, b)),
    siemens: Float64Array.from(own, ({ element }) => 1 / element.ohms), element: Int32Array.from(own, ({ index }) => index),
  }
}

const junctionsOf = (listed: readonly Listed[], size: number): Junctions => {
  const own = listed.flatMap(({ element, ...rest }) => (element.kind === 'junction' ? [{ element, ...rest }] : []))
  const figures = (way: 'forward' | 'reverse', of: 'amperes' | 'atVolts' | 'slopeVolts'): Float64Array =>
    Float64Array.from(own, ({ element }) => element[way]?.[of] ?? (of === 'slopeVolts' ? 1 : 0))
  const zero = (way: 'forward' | 'reverse'): Float64Array => Float64Array.from(own, ({ element }) => {
    const one = element[way]
    return one === null ? 0 : one.amperes * Math.exp(-one.atVolts / one.slopeVolts)
  })
  return {
    count: own.length, a: Int32Array.from(own, ({ a }) => a), c: Int32Array.from(own, ({ b }) => b),
    at: Int32Array.from(own, ({ a, b }) => Math.min(a, b) * size + Math.max(a, b)), element: Int32Array.from(own, ({ index }) => index),
    series: Float64Array.from(own, ({ element }) => element.seriesOhms), leakage: Float64Array.from(own, ({ element }) => element.leakageSiemens),
    forward: figures('forward', 'amperes'), forwardAt: figures('forward', 'atVolts'), forwardSlope: figures('forward', 'slopeVolts'),
    forwardZero: zero('forward'),
    reverse: figures('reverse', 'amperes'), reverseAt: figures('reverse', 'atVolts'), reverseSlope: figures('reverse', 'slopeVolts'),
    reverseZero: zero('reverse'),
  }
}

/** Elements with both ends on one net are left out of it: nothing flows in them that a meter sees. */
export const compile = (network: Network): Circuit => {
  const nets = [...new Set(network.elements.flatMap(endsOf))]
  const netNumber = new Map(nets.map((net, at) => [net, at]))
  const listed = network.elements.flatMap((element, index): Listed[] => {
    const [a, b] = endsOf(element).map((net) => netNumber.get(net) ?? 0) as [number, number]
    return element.kind === 'capacitance' || a === b ? [] : [{ element, index, a, b }]
  })
  const pairs = listed.map(({ a, b }): [number, number] => [a, b])
  const component = new Int32Array(nets.length)
  const place = new Int32Array(nets.length)
  const ordered = groupsOf(nets.length, pairs).map((group, number) => {
    for (const net of group) component[net] = number
    const order = eliminationOrder(group, pairs.filter(([a]) => component[a] === number && group.includes(a)))
    order.forEach((net, at) => { place[net] = at })
    return order
  })
  const components = ordered.map((order, number): Component => {
    const size = order.length
    const within = listed.filter(({ a }) => component[a] === number)
      .map((one): Listed => ({ ...one, a: place[one.a] ?? 0, b: place[one.b] ?? 0 }))
    const resistances = resistancesOf(within, size)
    const siemens = new Float64Array(size * size)
    resistances.at.forEach((at, which) => { siemens[at] = (siemens[at] ?? 0) + (resistances.siemens[which] ?? 0) })
    return { nets: Int32Array.from(order), size, resistances, junctions: junctionsOf(within, size), siemens }
  })
  const problem = network.elements.reduce<string | null>((found, element) => found ?? problemOf(element), null)
  return { elements: network.elements, nets, netNumber, component, place, components, problem }
}
