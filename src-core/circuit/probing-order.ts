/** Placements in an order that turns the dial once and moves the leads little. */
import type { NetPlacement } from './net-placements'

/** Tips that leave where they were; two where the leads change places. */
export const tipsMoved = (from: NetPlacement, to: NetPlacement): number => Number(from.red !== to.red) + Number(from.black !== to.black)

export const leadMoves = (order: readonly NetPlacement[]): number =>
  order.reduce((sum, at, index) => { const before = order[index - 1]; return before === undefined ? sum : sum + tipsMoved(before, at) }, 0)

export const dialTurns = (order: readonly { function: string }[]): number =>
  order.filter((at, index) => index > 0 && order[index - 1]?.function !== at.function).length

/** Each placement as it may be taken: more than one way where the leads may be exchanged; never none. */
export type Ways = readonly NetPlacement[]

/** Always the one nearest to where the tips are, the first where several are. */
const nearestFirst = (placements: readonly Ways[], from: NetPlacement | null): Ways[] => {
  const order: Ways[] = []
  const left = [...placements]
  let before = from
  while (left.length > 0) {
    let [best, way, least] = [0, left[0]?.[0], Infinity]
    left.forEach((ways, index) => {
      for (const one of ways) {
        const moved = before === null ? 0 : tipsMoved(before, one)
        if (moved < least) { best = index; way = one; least = moved }
      }
    })
    order.push(...left.splice(best, 1))
    before = way ?? before
  }
  return order
}

/** The way of each that moves the tips least over the whole order. */
const bestWays = (order: readonly Ways[], from: NetPlacement | null): { moves: number; taken: NetPlacement[] } => {
  let ends: { moves: number; taken: NetPlacement[] }[] = [{ moves: 0, taken: from === null ? [] : [from] }]
  for (const ways of order) {
    ends = ways.map((one) => ends.map(({ moves, taken }) => {
      const before = taken.at(-1)
      return { moves: moves + (before === undefined ? 0 : tipsMoved(before, one)), taken: [...taken, one] }
    }).reduce((best, tried) => (tried.moves < best.moves ? tried : best)))
  }
  const { moves, taken } = ends.reduce((best, tried) => (tried.moves < best.moves ? tried : best))
  return { moves, taken: from === null ? taken : taken.slice(1) }
}

/** Pieces of the order turned about for as long as that saves a move of a tip (2-opt, Croes 1958; from memory). */
const improved = (start: readonly Ways[], from: NetPlacement | null): NetPlacement[] => {
  let order = [...start]
  let best = bestWays(order, from)
  for (let better = true; better;) {
    better = false
    for (let first = 0; first < order.length - 1 && !better; first += 1) {
      for (let last = first + 1; last < order.length && !better; last += 1) {
        const tried = [...order.slice(0, first), ...order.slice(first, last + 1).reverse(), ...order.slice(last + 1)]
        const found = bestWays(tried, from)
        if (found.moves < best.moves) { order = tried; best = found; better = true }
      }
    }
  }
  return best.taken
}

/** Resistance first: it drives less than a junction's voltage. One turn of the dial at the most. */
export const probingOrder = (placements: readonly Ways[]): NetPlacement[] => {
  const of = (what: string): Ways[] => placements.filter(([at]) => at?.function === what)
  const ohms = improved(nearestFirst(of('resistance'), null), null)
  const last = ohms.at(-1) ?? null
  return [...ohms, ...improved(nearestFirst(of('diode'), last), last)]
}
