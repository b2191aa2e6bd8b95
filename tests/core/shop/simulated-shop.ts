/** Simulated shops whose boards of one type fail in their own way, each drawn from a seed. */
import type { BoardType } from '../../../src-core/board/board-type'
import { negativeSupplyPins, positiveSupplyPins } from '../../../src-core/board/part-places'
import { drawFaultSet, drawStrays } from '../../../src-core/circuit/draw-faults'
import { drawnRanges } from '../../../src-core/circuit/fault-priors'
import { type Random, seededRandom } from '../../../src-core/circuit/seeded-random'
import type { FaultHistory } from '../../../src-core/shop/fault-history'
import { type DrawnBoard, drawBoard, plain } from '../circuit/score/drawn-board'

/** `readily`: how many times as readily as its kind says each part fails here; `numbers`: relative to one another, how often 1, 2, … faults come at once. */
export type Shop = { board: BoardType; what: string; readily: ReadonlyMap<string, number>; numbers: readonly number[] }
export type ShopKind = (board: BoardType, seed: number) => Shop

/** Parts of one kind fail up to so many times as often as others in this shop: what one batch had wrong. */
const tilt = 30

/** How readily each part fails, from 1/tilt to 1, evenly in the logarithm and whatever its place. One to five faults equally often. */
export const tiltedShop: ShopKind = (board, seed) => {
  const chance = seededRandom(seed)
  return { board, what: 'each part its own', readily: new Map(board.parts.map(({ ref }) => [ref, tilt ** -chance()])), numbers: Array.from({ length: drawnRanges.mostFaults }, () => 1) }
}

/** A net on which more parts than this have a pin is a ground or a supply, as one at a supply pin of an IC is: a surge is shorted there. Our choice. */
const mostOnNet = 6
const supplyPins = [...negativeSupplyPins, ...positiveSupplyPins]
/** What lies behind one is hurt no more than what lies behind so many parts. Our choice. */
const behindSupply = 3
/** With each part that lies between it and the terminal a part fails so many times less readily. Our choice: no source. */
const perPart = 6

/** Parts between a terminal and each part, on the shortest way that crosses no ground or supply; those that it does not reach lie behind all others. */
export const crossedFrom = (board: BoardType, terminal: string): Map<string, number> => {
  const touching = (net: string): number => board.parts.filter(({ pins }) => Object.values(pins).includes(net)).length
  const supplies = board.parts.flatMap(({ kind, pins }) => (kind === 'ic' ? Object.entries(pins).flatMap(([pin, net]) => (supplyPins.includes(pin) ? [net] : [])) : []))
  const hubs = new Set([...supplies, ...board.nets.filter((net) => touching(net) > mostOnNet)])
  const netsOf = (ref: string): string[] => Object.values(board.parts.find((part) => part.ref === ref)?.pins ?? {}).filter((net) => !hubs.has(net))
  const crossed = new Map<string, number>()
  const reached = new Set(netsOf(terminal))
  for (let far = 0, front = [...reached]; front.length > 0; far += 1) {
    const parts = board.parts.filter(({ ref, kind, pins }) => kind !== 'connector' && !crossed.has(ref) && Object.values(pins).some((net) => front.includes(net)))
    for (const { ref } of parts) crossed.set(ref, far)
    front = [...new Set(parts.flatMap(({ ref }) => netsOf(ref)))].filter((net) => !reached.has(net))
    front.forEach((net) => reached.add(net))
  }
  const behind = Math.max(behindSupply, ...[...crossed.values()].map((far) => far + 1))
  return new Map(board.parts.map(({ ref }) => [ref, crossed.get(ref) ?? behind]))
}

/** Terminals that leave the board: connectors of which a net is no hub; jumpers stay on it. */
const terminalsOf = (board: BoardType): string[] =>
  board.parts.filter(({ ref, kind }) => kind === 'connector' && /^J\d/.test(ref) && [...crossedFrom(board, ref).values()].includes(0)).map(({ ref }) => ref)

/** Surges come in at one terminal of the shop's, and what lies behind it fails the less readily the further in it lies. Each further fault comes half as often. */
export const surgeShop: ShopKind = (board, seed) => {
  const random = seededRandom(seed)
  const terminals = terminalsOf(board)
  const terminal = terminals[Math.floor(random() * terminals.length)]
  if (terminal === undefined) throw new RangeError(`${board.id} has no terminal that a surge could come in at.`)
  return {
    board, what: `surges at ${terminal}`, readily: new Map([...crossedFrom(board, terminal)].map(([ref, parts]) => [ref, perPart ** -parts])),
    numbers: Array.from({ length: drawnRanges.mostFaults }, (_, at) => 2 ** -at),
  }
}

const faultsOf = ({ board, readily, numbers }: Shop, random: Random): DrawnBoard['faults'] => {
  let at = random() * numbers.reduce((sum, one) => sum + one, 0)
  const more = numbers.findIndex((one) => { at -= one; return at < 0 })
  return drawFaultSet(board, random, 1 + Math.max(0, more), (ref) => readily.get(ref) ?? 1)
}

/** What the shop knows of so many boards, each repaired and all its faulty parts found. */
export const historyOfShop = (shop: Shop, boards: number, seed: number): FaultHistory => {
  const random = seededRandom(seed)
  const faults: Record<string, number> = {}
  const byNumber = new Array<number>(drawnRanges.mostFaults).fill(0)
  for (let count = 0; count < boards; count += 1) {
    const found = faultsOf(shop, random)
    for (const { ref } of found) faults[ref] = (faults[ref] ?? 0) + 1
    byNumber[found.length - 1] = (byNumber[found.length - 1] ?? 0) + 1
  }
  return { faults, byNumber }
}

/** A board as it comes in at this shop; the same seed gives the same board. */
export const boardIn = (shop: Shop, seed: number): DrawnBoard =>
  drawBoard([shop.board], seed, { ...plain, name: shop.what, cases: (board, random) => ({ faults: faultsOf(shop, random), strays: drawStrays(board, random) }) })
