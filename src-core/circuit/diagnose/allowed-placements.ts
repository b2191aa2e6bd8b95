/** The placements a diagnosis may ask for, and what a meter's reading there is worth. */
import type { BoardType } from '../../board/board-type'
import type { MeterFunction } from '../../meter/reading'
import { mostFarads } from '../capacitance'
import type { MeterDrives } from '../meter-drive'
import type { Placement } from '../diagnosis'
import { offScale, onScale, slopeOfScale } from './display-scale'
import { drivenFunction, type NetPlacement } from './model'

export type Allowed = { placement: Placement; nets: NetPlacement }

/** Every pair of nets that have a test point, by its first: resistance one way, diode test both ways. */
export const allowedPlacements = (board: BoardType): Allowed[] => {
  const tips = board.testPoints.filter(({ net }, at, all) => all.findIndex((other) => other.net === net) === at)
  const at = (red: typeof tips[number], black: typeof tips[number], what: MeterFunction): Allowed =>
    ({ placement: { red: red.id, black: black.id, function: what }, nets: { red: red.net, black: black.net, function: what } })
  return tips.flatMap((one, first) => tips.slice(first + 1).flatMap((other) => [at(one, other, 'resistance'), at(one, other, 'diode'), at(other, one, 'diode')]))
}

/** Boards with no more placements than this are looked at everywhere. */
const everywhere = 300

const pairKey = (a: string, b: string): string => [a, b].sort().join(' ')

/**
 * Of many placements those that matter: between nets that one part joins, or two parts over a net without a test point, and between each net and
 * the one that most parts meet at. What a fault changes shows most at its own ends.
 */
export const nearPlacements = (board: BoardType, allowed: readonly Allowed[]): Allowed[] => {
  if (allowed.length <= everywhere) return [...allowed]
  const near = new Map<string, Set<string>>(board.nets.map((net) => [net, new Set<string>()]))
  const meets = new Map<string, number>()
  for (const { pins } of board.parts) {
    const nets = [...new Set(Object.values(pins))]
    for (const a of nets) {
      meets.set(a, (meets.get(a) ?? 0) + 1)
      for (const b of nets) if (a !== b) near.get(a)?.add(b)
    }
  }
  const tested = new Set(board.testPoints.map(({ net }) => net))
  const hub = [...tested].reduce((most, net) => ((meets.get(net) ?? 0) > (meets.get(most) ?? 0) ? net : most), [...tested][0] ?? '')
  const wanted = new Set<string>()
  for (const [net, others] of near) {
    if (net !== hub) for (const other of others) wanted.add(pairKey(net, other))
    if (!tested.has(net)) for (const a of others) for (const b of others) wanted.add(pairKey(a, b))
  }
  return allowed.filter(({ nets: { red, black } }) => red === hub || black === hub || wanted.has(pairKey(red, black)))
}

/** Where no accuracy was entered: 1.5 % and 5 counts of a display of 6000, and noise of 0.3 count (common practice, no source). */
const assumed = { share: 0.015, counts: 5, display: 6000, noise: 0.3 }
const lowestRange = (what: MeterFunction): number => (what === 'diode' ? 6 : what === 'capacitance' ? 6e-8 : 600)

/** Standard uncertainty of a reading, SI: bounds taken as even, a display count as well. */
export const usualUncertainty = (what: MeterFunction, value: number): number => {
  let range = lowestRange(what)
  while (Math.abs(value) > range && range < 1e9) range *= 10
  const count = range / assumed.display
  return Math.sqrt((assumed.share * Math.abs(value) + assumed.counts * count) ** 2 / 3 + count ** 2 / 12 + (assumed.noise * count) ** 2)
}

/** On the scale: where a reading turns to overload, and the standard uncertainty at a reading. */
export type Gauge = { ceiling: number; sigma: (y: number) => number; value: (y: number) => number }

export const gaugesOf = (drives: MeterDrives): ((what: MeterFunction) => Gauge) => {
  const gauges = new Map<MeterFunction, Gauge>()
  return (what) => {
    const known = gauges.get(what)
    if (known !== undefined) return known
    const driven = drivenFunction(what) ?? 'resistance'
    const ceiling = what === 'capacitance' ? mostFarads : drives[driven].ceiling
    const value = (y: number): number => offScale(what, y)
    const gauge: Gauge = {
      ceiling: onScale(what, ceiling), value,
      sigma: (y) => { const at = Math.min(Math.abs(value(y)), ceiling); return usualUncertainty(what, at) * slopeOfScale(what, at) },
    }
    gauges.set(what, gauge)
    return gauge
  }
}

/** Readings further apart than this are told apart (circuit.md). */
const apartFrom = 3

/** In standard uncertainties; an overload lies at the ceiling. */
export const apart = ({ ceiling, sigma, value }: Gauge, what: MeterFunction, one: number, other: number): number => {
  const [a, b] = [Math.min(one, ceiling), Math.min(other, ceiling)]
  if (a === b) return 0
  const most = Math.max(a, b)
  return Math.abs(value(a) - value(b)) / (sigma(most) / slopeOfScale(what, value(most)))
}

export const agree = (gauge: Gauge, what: MeterFunction, one: number, other: number, within = apartFrom): boolean => apart(gauge, what, one, other) <= within

/** Where the likeliest figures are not quite the true ones, readings that agree within this still agree within the other. */
export const surelyAlike = apartFrom / 2
