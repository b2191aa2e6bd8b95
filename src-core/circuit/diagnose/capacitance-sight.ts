/** What a capacitance function shows of the loaded circuit: the capacitors straight across its tips in the states they have. */
import type { BoardType } from '../../board/board-type'
import { capacitorsBetween, leastOhmsBeside } from '../capacitance'
import { networkOf, type NetworkOptions } from '../network'
import type { Allowed } from './allowed-placements'
import type { Cell } from './cells'
import { onScale, slopeOfScale } from './display-scale'
import type { Model, NetPlacement } from './model'
import type { SpreadUnknown } from './slots'

/** `unknown`: which of the board's moves its farads; −1 for none. */
export type Capacitor = { ref: string; nets: readonly [string, string]; farads: number; unknown: number }

export const capacitorsOf = (board: BoardType, unknowns: readonly SpreadUnknown[], options: NetworkOptions): Capacitor[] =>
  networkOf(board, [], options).elements.flatMap((element): Capacitor[] => (element.kind !== 'capacitance' ? []
    : [{ ref: element.part, nets: [element.from, element.to], farads: element.farads, unknown: unknowns.findIndex(({ key }) => key === element.part) }]))

/** Every pair of test points' nets with capacitors that a capacitance function sees, and their refs. */
export const capacitancePlacements = (board: BoardType, options: NetworkOptions): (Allowed & { parts: string[] })[] => {
  const network = networkOf(board, [], options)
  const tips = board.testPoints.filter(({ net }, at, all) => all.findIndex((other) => other.net === net) === at)
  return tips.flatMap((one, first) => tips.slice(first + 1).flatMap((other) => {
    const between = capacitorsBetween(network, one.net, other.net)
    const what = 'capacitance' as const
    return between.ok ? [{ placement: { red: one.id, black: other.id, function: what }, nets: { red: one.net, black: other.net, function: what }, parts: between.straight.map(({ part }) => part) }] : []
  }))
}

const straight = ({ capacitors }: Model, { red, black }: NetPlacement): Capacitor[] => capacitors.filter(({ nets }) => nets.includes(red) && nets.includes(black) && red !== black)

/** How many of its farads a capacitor keeps in this state of it. */
const keeps = (kind: Cell['kind'], figure: number): number => (kind === 'open' ? 0 : kind === 'drifted' ? Math.exp(figure) : 1)

/** A meter that finds no end of charging shows overload. */
const endless = 1e3

/** On the scale, with slopes by the board's unknowns and the figures of the loaded cells; `ohms`: between the tips. */
export const capacitanceShown = (model: Model, placement: NetPlacement, ohms: number): { y: number; slopes: Float64Array } => {
  const { slots, loaded: { cells, spread, figures } } = model
  const known = slots.unknowns.length
  const slopes = new Float64Array(known + cells.length)
  if (ohms < leastOhmsBeside) return { y: onScale('capacitance', endless), slopes }
  let sum = 0
  const parts = straight(model, placement).map((one) => {
    const at = cells.findIndex(({ ref }) => ref === one.ref)
    const cell = cells[at]
    const farads = one.farads * Math.exp(one.unknown < 0 ? 0 : spread?.[one.unknown] ?? 0) * (cell === undefined ? 1 : keeps(cell.kind, figures[at] ?? 0))
    sum += farads
    return { unknown: one.unknown, at: cell?.kind === 'drifted' ? at : -1, farads }
  })
  const slope = slopeOfScale('capacitance', sum)
  for (const { unknown, at, farads } of parts) {
    if (unknown >= 0) slopes[unknown] = (slopes[unknown] ?? 0) + slope * farads
    if (at >= 0) slopes[known + at] = (slopes[known + at] ?? 0) + slope * farads
  }
  return { y: onScale('capacitance', sum), slopes }
}

/** Faults that let current through beside a capacitor: only a solution tells. */
const conducting: readonly Cell['kind'][] = ['short', 'leaky', 'bridge']

/** With each of `cells` added to the loaded circuit, which shows `y`; NaN where only a solution tells. */
export const capacitanceScreened = (model: Model, placement: NetPlacement, y: number, cells: readonly Cell[], spread: Float64Array): Float64Array => {
  const across = straight(model, placement)
  const { loaded } = model
  const left = (without: string): number => across.reduce((sum, { ref, farads, unknown }) => {
    const at = loaded.cells.findIndex((cell) => cell.ref === ref)
    const state = loaded.cells[at]
    return ref === without ? sum : sum + farads * Math.exp(spread[unknown] ?? 0) * (state === undefined ? 1 : keeps(state.kind, loaded.figures[at] ?? 0))
  }, 0)
  return Float64Array.from(cells, ({ ref, kind, figure }) => {
    if (conducting.includes(kind)) return NaN
    const own = across.find((one) => one.ref === ref)
    if (own === undefined || y >= onScale('capacitance', endless)) return y
    return onScale('capacitance', left(ref) + own.farads * Math.exp(spread[own.unknown] ?? 0) * keeps(kind, figure?.mean ?? 0))
  })
}
