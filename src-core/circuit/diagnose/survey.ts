/** What a base and each further fault on it would read at every allowed placement, roughly for the further faults. */
import { load, type Model, readingAt, viewAt } from './model'
import type { Cell } from './cells'
import type { Hypothesis } from './hypothesis'
import { agree, type Allowed, type Gauge, surelyAlike } from './allowed-placements'
import { screened } from './screen'
import type { MeterFunction } from '../../meter/reading'

export type Survey = {
  /** Per placement, on its scale: what is read, and the standard deviation that the spread of the parts gives it. */
  y: Float64Array; spread: Float64Array
  /** Per placement, by the cells' index: what each would make of it; NaN where only a solution could tell, and for cells that were not asked for. */
  with: Float64Array[]
  /** Voltages of the junctions. */
  own: (Float64Array | null)[]
}

/** What is asked for: of each further fault, and at which placements; the rest is NaN. `from`: a survey of a similar circuit. */
export type Asked = { further: readonly Cell[]; at?: (placement: number) => boolean; from?: Survey | undefined }

export const surveyOf = (model: Model, { cells, spread, figures }: Hypothesis, allowed: readonly Allowed[], { further, at: isAsked, from }: Asked): Survey => {
  const width = further.reduce((most, { index }) => Math.max(most, index + 1), 0)
  const survey: Survey = { y: new Float64Array(allowed.length), spread: new Float64Array(allowed.length), with: [], own: [] }
  const { unknowns } = model.slots
  load(model, cells, spread, figures)
  allowed.forEach(({ nets }, at) => {
    const view = isAsked?.(at) === false ? null : viewAt(model, nets, from?.own[at] ?? null)
    const withEach = new Float64Array(width).fill(NaN)
    survey.with.push(withEach)
    if (view === null) { survey.y[at] = NaN; survey.own.push(null); return }
    let variance = 0
    unknowns.forEach(({ sd }, k) => { variance += ((view.sight.slopes[k] ?? 0) * sd) ** 2 })
    survey.y[at] = view.sight.y
    survey.own.push(view.sight.own)
    survey.spread[at] = Math.sqrt(variance)
    const estimates = screened(model, nets, view.tips, view.sight.y, further, spread)
    further.forEach(({ index }, which) => { withEach[index] = estimates[which] ?? NaN })
  })
  return survey
}

/** Whether a fault reads as the base does at every allowed placement; the survey is believed where it is far from the border. `surely`: nowhere, and closer. */
export const isHidden = (
  model: Model, hypothesis: Hypothesis, survey: Survey, allowed: readonly Allowed[], gaugeOf: (what: MeterFunction) => Gauge,
  cell: Cell, which: number, figure = cell.figure?.mean ?? 0, surely = false,
): boolean => {
  const doubtful: number[] = []
  for (let at = 0; at < allowed.length; at += 1) {
    const what = allowed[at]?.nets.function ?? 'resistance'
    const [base, then] = [survey.y[at] ?? NaN, survey.with[at]?.[which] ?? NaN]
    if (base === then || Number.isNaN(base)) continue
    const gauge = gaugeOf(what)
    if (!Number.isNaN(then) && !agree(gauge, what, base + 3 * (then - base) / 10, base)) return false
    if (surely || Number.isNaN(then) || !agree(gauge, what, base + 3 * (then - base), base)) doubtful.push(at)
  }
  if (doubtful.length === 0) return true
  const figures = Float64Array.from([...hypothesis.figures, figure])
  load(model, [...hypothesis.cells, cell], hypothesis.spread, figures)
  return doubtful.every((at) => {
    const nets = allowed[at]?.nets
    const then = nets === undefined ? null : readingAt(model, nets, survey.own[at] ?? null)
    return nets !== undefined && then !== null && agree(gaugeOf(nets.function), nets.function, survey.y[at] ?? NaN, then, surely ? surelyAlike : undefined)
  })
}

/** So many standard deviations of what the readings leave open a reading may lie elsewhere, and a difference may be larger. */
const openSds = 2
/** What the survey says may be so many times as much once it is solved, and elsewhere in what is left open. */
const roughly = 10

/**
 * Whether a hidden fault stays hidden wherever the readings leave the parts and the figures of the base: the difference it makes, and how that follows
 * the unknowns, stay within what is told apart. `left`: the variance that is left of anything with given slopes.
 */
export const staysHidden = (
  model: Model, { cells, spread, figures }: Hypothesis, survey: Survey, allowed: readonly Allowed[], gaugeOf: (what: MeterFunction) => Gauge,
  cell: Cell, figure: number, left: (slopes: Float64Array) => number,
): boolean => {
  const isUnseen = (what: MeterFunction, one: number, other: number, by: number, sd: number): boolean => {
    const gauge = gaugeOf(what)
    if (Math.min(one, other) - openSds * sd > gauge.ceiling) return true
    const most = Math.min(Math.max(one, other), gauge.ceiling)
    return agree(gauge, what, most, most - by)
  }
  const doubtful = allowed.flatMap(({ nets }, at) => {
    const [base, then] = [survey.y[at] ?? NaN, survey.with[at]?.[cell.index] ?? NaN]
    const isPlain = base === then || Number.isNaN(base) || isUnseen(nets.function, base, then, roughly * Math.abs(then - base), survey.spread[at] ?? 0)
    return isPlain ? [] : [{ nets, from: survey.own[at] ?? null, spread: survey.spread[at] ?? 0 }]
  })
  if (doubtful.length === 0) return true
  load(model, cells, spread, figures)
  const base = doubtful.map(({ nets, from }) => viewAt(model, nets, from)?.sight ?? null)
  load(model, [...cells, cell], spread, Float64Array.from([...figures, figure]))
  return doubtful.every(({ nets, from, spread: sd }, which) => {
    const [was, then] = [base[which] ?? null, viewAt(model, nets, from)?.sight ?? null]
    if (was === null || then === null) return false
    const open = openSds * Math.sqrt(left(was.slopes.map((slope, k) => (then.slopes[k] ?? 0) - slope)))
    return isUnseen(nets.function, was.y, then.y, Math.abs(then.y - was.y) + open, sd)
  })
}

/** Whether another hypothesis reads as the surveyed one does at every allowed placement; `spread`: of the parts, its own unless it is to be another. */
export const readsAlike = (
  model: Model, survey: Survey, { cells, spread: own, figures }: Hypothesis, allowed: readonly Allowed[], gaugeOf: (what: MeterFunction) => Gauge, spread = own,
): boolean => {
  load(model, cells, spread, figures)
  return allowed.every(({ nets }, at) => {
    const y = readingAt(model, nets, survey.own[at] ?? null)
    return y !== null && agree(gaugeOf(nets.function), nets.function, survey.y[at] ?? NaN, y, spread === own ? undefined : surelyAlike)
  })
}
