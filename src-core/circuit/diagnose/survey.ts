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

/** Of the placements of one followed by those of the other. */
export const joinedSurveys = (one: Survey, other: Survey): Survey => ({
  y: Float64Array.of(...one.y, ...other.y), spread: Float64Array.of(...one.spread, ...other.spread), with: [...one.with, ...other.with], own: [...one.own, ...other.own],
})

/** So many standard deviations of what the readings leave open a reading may lie elsewhere, and a difference may be larger. */
const openSds = 2
/** What the survey says of a fault at its likeliest figure may be so many times as much once it is solved, and at its other figures. */
const roughly = { solved: 10, figures: 100 }

type Doubtful = { nets: Allowed['nets']; from: Float64Array | null; spread: number }

const isUnseen = (gauge: Gauge, what: MeterFunction, one: number, other: number, by: number, sd: number): boolean => {
  if (Math.min(one, other) - openSds * sd > gauge.ceiling) return true
  const most = Math.min(Math.max(one, other), gauge.ceiling)
  return agree(gauge, what, most, most - by)
}

/**
 * Whether a hidden fault stays hidden wherever the readings leave the parts and the figures of the base, and whatever its own figure is: the difference
 * it makes, and how that follows the unknowns, stay within what is told apart. A figure that differs at a placement that was taken is none the
 * readings leave. `left`: the variance that is left of anything with given slopes.
 */
export const staysHidden = (
  model: Model, { cells, spread, figures }: Hypothesis, survey: Survey, allowed: readonly Allowed[], gaugeOf: (what: MeterFunction) => Gauge,
  cell: Cell, figure: number, left: (slopes: Float64Array) => number, isTaken: (nets: Allowed['nets']) => boolean,
): boolean => {
  const doubtful = allowed.flatMap(({ nets }, at): Doubtful[] => {
    const [base, then] = [survey.y[at] ?? NaN, survey.with[at]?.[cell.index] ?? NaN]
    const by = (cell.figure === null ? roughly.solved : roughly.figures) * Math.abs(then - base)
    const isPlain = base === then || isUnseen(gaugeOf(nets.function), nets.function, base, then, by, survey.spread[at] ?? 0)
    return isPlain ? [] : [{ nets, from: survey.own[at] ?? null, spread: survey.spread[at] ?? 0 }]
  })
  if (doubtful.length === 0) return true
  load(model, cells, spread, figures)
  const base = doubtful.map(({ nets, from }) => viewAt(model, nets, from)?.sight ?? null)
  const seenWith = (own: number): Doubtful[] => {
    load(model, [...cells, cell], spread, Float64Array.from([...figures, own]))
    return doubtful.filter(({ nets, from, spread: sd }, which) => {
      const [was, then] = [base[which] ?? null, viewAt(model, nets, from)?.sight ?? null]
      if (was === null || then === null) return true
      const open = own === figure ? openSds * Math.sqrt(left(was.slopes.map((slope, k) => (then.slopes[k] ?? 0) - slope))) : 0
      return !isUnseen(gaugeOf(nets.function), nets.function, was.y, then.y, Math.abs(then.y - was.y) + open, sd)
    })
  }
  if (seenWith(figure).length > 0) return false
  return cell.figure === null || [cell.figure.least, (cell.figure.least + figure) / 2, (figure + cell.figure.most) / 2, cell.figure.most].every((own) => {
    const seen = seenWith(own)
    return seen.length === 0 || seen.some(({ nets }) => isTaken(nets))
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
