/** Whether the class a diagnosis puts first is the one the drawn faults belong to. */
import type { Fault } from '../../../../src-core/circuit/faults'
import { withFigure } from '../../../../src-core/circuit/usual-faults'
import type { DrawnBoard } from './drawn-board'
import { agreeWithin, apart, readingsAt, stateReader } from './state-readings'
import { readsAlike } from './witness'

/** Without the faults that show nowhere: each that can be left out while all readings stay within 3 u of the true ones. */
export const visibleFaults = (drawn: DrawnBoard): Fault[] =>
  drawn.faults.reduce<Fault[]>((kept, fault) => {
    const less = kept.filter((one) => one !== fault)
    return readsAlike(drawn, less) ? less : kept
  }, [...drawn.faults])

const key = (fault: Fault): string => (fault.kind === 'bridge' ? [...fault.nets].sort().join('/') : `${fault.ref} ${fault.pin ?? ''} ${fault.kind}`)
const keysOf = (faults: readonly Fault[]): string => faults.map(key).sort().join(', ')

const figureOf = (fault: Fault): number | null => ('ohms' in fault ? fault.ohms : 'factor' in fault ? fault.factor : null)

/** Rounds of fitting; a round moves each figure once. */
const rounds = 6
const step = 0.02
const furthest = Math.log(4)

/**
 * Whether a fault set reads as the drawn board does, its figures moved to fit: Gauss and Newton on the logarithms, in bounded rounds, from
 * the figures reported. Parts and kinds stay; a fit that ends elsewhere counts as not alike.
 */
export const fitsTruth = (drawn: DrawnBoard, reported: readonly Fault[]): boolean => {
  const { placements, truth, meter, circumstances } = drawn
  let figures = reported.flatMap((fault) => { const figure = figureOf(fault); return figure === null ? [] : [Math.log(figure)] })
  const withFigures = (logs: readonly number[]): Fault[] => {
    let at = 0
    return reported.map((fault) => (figureOf(fault) === null ? fault : withFigure(fault, Math.exp(logs[at++] ?? 0))))
  }
  const residuals = (logs: readonly number[]): Float64Array => {
    const read = readingsAt(stateReader(drawn.board, withFigures(logs), circumstances), placements, circumstances.drives)
    return Float64Array.from(placements, (place, index) => {
      const [a, b] = [read[index] ?? NaN, truth[index] ?? NaN]
      return Math.sign(a - b || 0) * Math.min(100, apart(meter, place, a, b, circumstances.drives))
    })
  }
  let now = residuals(figures)
  const worst = (all: Float64Array): number => all.reduce((most, one) => Math.max(most, Math.abs(one)), 0)
  for (let round = 0; round < rounds && worst(now) > agreeWithin; round += 1) {
    const before = worst(now)
    for (let at = 0; at < figures.length; at += 1) {
      const moved = figures.map((log, index) => (index === at ? log + step : log))
      const there = residuals(moved)
      let [top, bottom] = [0, 0]
      for (let index = 0; index < now.length; index += 1) {
        const slope = ((there[index] ?? 0) - (now[index] ?? 0)) / step
        top -= slope * (now[index] ?? 0)
        bottom += slope * slope
      }
      if (bottom === 0) continue
      const by = Math.max(-furthest, Math.min(furthest, top / bottom))
      const tried = figures.map((log, index) => (index === at ? log + by : log))
      const fitted = residuals(tried)
      const squares = (all: Float64Array): number => all.reduce((sum, one) => sum + one * one, 0)
      if (squares(fitted) < squares(now)) { figures = tried; now = fitted }
    }
    if (worst(now) > 0.98 * before) break
  }
  return worst(now) <= agreeWithin
}

/** Listed: a set of the top class has the parts, pins and kinds of the visible faults. Alike: none is listed, but one fits the true readings. */
export const exactness = (drawn: DrawnBoard, topClass: readonly (readonly Fault[])[] | undefined, mostTried = 5): 'listed' | 'alike' | 'other' => {
  if (topClass === undefined) return 'other'
  const wanted = [keysOf(visibleFaults(drawn)), keysOf(drawn.faults)]
  if (topClass.some((set) => wanted.includes(keysOf(set)))) return 'listed'
  return topClass.slice(0, mostTried).some((set) => fitsTruth(drawn, set)) ? 'alike' : 'other'
}
