/** Three fixed ways of probing a board, each the same whatever is broken: what the adaptive way is measured against. */
import type { BoardType, Part } from '../../../../src-core/board/board-type'
import { allowedFaults, type Fault, sameKind } from '../../../../src-core/circuit/faults'
import { networkOf } from '../../../../src-core/circuit/network'
import { usualFigures } from '../../../../src-core/circuit/usual-faults'
import { possibleFaults } from './possible-faults'
import { type BenchMeter, genericMeter, uOf } from './bench-meter'
import { allowedPlacements, type NetPlacement } from './placements'
import { agreeWithin, ceilingOf, nominal, readingsAt, stateReader } from './state-readings'

/** Indices into the allowed placements, resistance first: the dial is turned once. */
export type Baselines = { partByPart: number[]; detecting: number[]; separating: number[] }

/** Pairs of nets that a part's own elements lie between, and whether a junction does. */
const ownPairs = (board: BoardType, part: Part): { nets: [string, string]; junction: boolean }[] => {
  const pairs = new Map<string, { nets: [string, string]; junction: boolean }>()
  const add = (a: string, b: string, junction: boolean): void => {
    const key = [a, b].sort().join(' ')
    if (a !== b) pairs.set(key, { nets: [a, b], junction: junction || pairs.get(key)?.junction === true })
  }
  const pins = [...new Set(Object.values(part.pins))]
  for (const element of networkOf(board, []).elements) {
    if (element.part !== part.ref) continue
    if (element.kind === 'junction') add(element.anode, element.cathode, true)
    else add(element.from, element.to, false)
  }
  const [first, second] = pins
  if (pairs.size === 0 && first !== undefined && second !== undefined) add(first, second, false)
  return [...pairs.values()]
}

/** Across every part that can fail, as if it lay alone: resistance, and diode test both ways where it holds a junction. No placement twice. */
const partByPart = (board: BoardType, placements: readonly NetPlacement[]): number[] => {
  const asked = board.parts.filter(({ kind }) => allowedFaults(kind).length > 0).flatMap((part) => ownPairs(board, part))
  return [...placements.keys()].filter((index) => {
    const at = placements[index]
    return at !== undefined && asked.some(({ nets, junction }) =>
      nets.includes(at.redNet) && nets.includes(at.blackNet) && (at.function === 'diode') === junction)
  })
}

const sameFault = (a: Fault | null, b: Fault | null): boolean => a === b || (a !== null && b !== null && sameKind(a, b))

/** Each demand is the placements that meet it; the one that meets most of what is left is taken, the first where several do. */
export const greedyCover = (demands: readonly Uint8Array[], count: number): number[] => {
  const chosen: number[] = []
  const met = new Int32Array(count)
  const left = new Set(demands)
  const counted = (demand: Uint8Array, by: 1 | -1): void => {
    for (let index = 0; index < count; index += 1) met[index] = (met[index] as number) + by * (demand[index] as number)
  }
  for (const demand of demands) counted(demand, 1)
  while (left.size > 0) {
    const best = met.indexOf(Math.max(...met))
    if ((met[best] ?? 0) === 0) break
    chosen.push(best)
    for (const demand of left) {
      if (demand[best] !== 1) continue
      left.delete(demand)
      counted(demand, -1)
    }
  }
  return chosen
}

/** `values`: SI, overload at the meter's ceiling; `within`: 3 u of each. */
type State = { fault: Fault | null; values: Float64Array; within: Float64Array }

/** 1 for each placement that tells the two apart; null where none does. */
const telling = (a: State, b: State): Uint8Array | null => {
  let any = false
  const tells = new Uint8Array(a.values.length)
  for (let index = 0; index < tells.length; index += 1) {
    const differ = (a.values[index] as number) - (b.values[index] as number)
    const within = (differ > 0 ? a.within[index] : b.within[index]) as number
    if (Math.abs(differ) > within) { tells[index] = 1; any = true }
  }
  return any ? tells : null
}

/**
 * On the nominal board, over every single fault that may be drawn, at usual figures. Two states are told apart by a placement where they read more than 3 u
 * apart; a fault no placement tells from a good board is not detectable, a pair no placement tells apart not separable.
 */
export const baselinesOf = (board: BoardType, meter: BenchMeter = genericMeter, faults = possibleFaults(board, usualFigures)): Baselines => {
  const placements = allowedPlacements(board)
  const { drives } = nominal
  const states = [null, ...faults].map((fault): State => {
    const read = readingsAt(stateReader(board, fault === null ? [] : [fault], nominal), placements, drives)
    const values = read.map((value, index) => { const at = placements[index]; return at === undefined ? value : Math.min(value, ceilingOf(at, drives)) })
    return { fault, values, within: values.map((value, index) => agreeWithin * uOf(meter, placements[index]?.function ?? 'resistance', value)) }
  })
  const demands = (pairs: [number, number][]): Uint8Array[] => pairs.flatMap(([one, other]) => {
    const [a, b] = [states[one], states[other]]
    const tells = a === undefined || b === undefined ? null : telling(a, b)
    return tells === null ? [] : [tells]
  })
  const fromGood = states.flatMap((_, at): [number, number][] => (at === 0 ? [] : [[0, at]]))
  const between = states.flatMap((one, at) => states.slice(at + 1)
    .flatMap((other, after): [number, number][] => (sameFault(one.fault, other.fault) ? [] : [[at, at + 1 + after]])))
  const inOrder = (chosen: readonly number[]): number[] => [...chosen].sort((a, b) =>
    Number(placements[a]?.function === 'diode') - Number(placements[b]?.function === 'diode') || a - b)
  return {
    partByPart: inOrder(partByPart(board, placements)),
    detecting: inOrder(greedyCover(demands(fromGood), placements.length)),
    separating: inOrder(greedyCover(demands(between), placements.length)),
  }
}

/** What probing costs: readings, presses that confirm air, and turns of the dial after the first setting. */
export type Effort = { touches: number; confirmations: number; dialTurns: number }
export const effortOf = (taken: readonly { function: string; value: number | 'overload' }[]): Effort => ({
  touches: taken.length,
  confirmations: taken.filter(({ value }) => value === 'overload').length,
  dialTurns: taken.filter((one, at) => at > 0 && taken[at - 1]?.function !== one.function).length,
})
export const totalOf = ({ touches, confirmations, dialTurns }: Effort): number => touches + confirmations + dialTurns
