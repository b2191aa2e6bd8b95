/** Whether the class a diagnosis puts first is the one the drawn faults belong to. */
import type { Diagnosis } from '../../../../src-core/circuit/diagnosis'
import type { Fault } from '../../../../src-core/circuit/faults'
import { spreadsOf } from '../../../../src-core/circuit/spread'
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

/** One thing that is moved to fit: the logarithm of a figure or of a part's tolerance factor, and how far it may go. */
type Movable = { least: number; most: number }

/** What lies in the tolerances of these parts, with the factors they were drawn with. */
const tolerancesOf = ({ board, circumstances: { spread } }: DrawnBoard, refs: ReadonlySet<string>): (Movable & { key: string; at: number })[] =>
  spreadsOf(board).filter(({ ref }) => refs.has(ref)).map(({ key, law, width }) => ({
    key, at: Math.log(spread[key] ?? 1), least: law === 'even' ? Math.log(1 - width) : -Math.log(width), most: law === 'even' ? Math.log(1 + width) : Math.log(width),
  }))

/**
 * Whether a fault set reads as the drawn board does, its figures moved to fit: Gauss and Newton on the logarithms, in bounded rounds, from
 * the figures reported. Parts and kinds stay; a fit that ends elsewhere counts as not alike. `loose`: parts whose figures may lie anywhere in their
 * tolerances, not only where they were drawn.
 */
export const fitsTruth = (drawn: DrawnBoard, reported: readonly Fault[], loose: ReadonlySet<string> = new Set()): boolean => {
  const { placements, truth, meter, circumstances } = drawn
  const tolerances = tolerancesOf(drawn, loose)
  const figures = reported.flatMap((fault) => { const figure = figureOf(fault); return figure === null ? [] : [Math.log(figure)] })
  const bounds: Movable[] = [...figures.map(() => ({ least: -Infinity, most: Infinity })), ...tolerances]
  let at = [...figures, ...tolerances.map((one) => one.at)]
  const withFigures = (logs: readonly number[]): Fault[] => {
    let next = 0
    return reported.map((fault) => (figureOf(fault) === null ? fault : withFigure(fault, Math.exp(logs[next++] ?? 0))))
  }
  const residuals = (logs: readonly number[]): Float64Array => {
    const spread = { ...circumstances.spread, ...Object.fromEntries(tolerances.map(({ key }, which) => [key, Math.exp(logs[figures.length + which] ?? 0)])) }
    const read = readingsAt(stateReader(drawn.board, withFigures(logs), { ...circumstances, spread }), placements, circumstances.drives)
    return Float64Array.from(placements, (place, index) => {
      const [a, b] = [read[index] ?? NaN, truth[index] ?? NaN]
      return Math.sign(a - b || 0) * Math.min(100, apart(meter, place, a, b, circumstances.drives))
    })
  }
  const squares = (all: Float64Array): number => all.reduce((sum, one) => sum + one * one, 0)
  const worst = (all: Float64Array): number => all.reduce((most, one) => Math.max(most, Math.abs(one)), 0)
  let now = residuals(at)
  for (let round = 0; round < rounds && worst(now) > agreeWithin; round += 1) {
    const before = worst(now)
    for (let which = 0; which < at.length; which += 1) {
      const there = residuals(at.map((log, index) => (index === which ? log + step : log)))
      let [top, bottom] = [0, 0]
      for (let index = 0; index < now.length; index += 1) {
        const slope = ((there[index] ?? 0) - (now[index] ?? 0)) / step
        top -= slope * (now[index] ?? 0)
        bottom += slope * slope
      }
      if (bottom === 0) continue
      const by = Math.max(-furthest, Math.min(furthest, top / bottom))
      const tried = at.map((log, index) => (index === which ? Math.min(Math.max(log + by, bounds[index]?.least ?? log), bounds[index]?.most ?? log) : log))
      const fitted = residuals(tried)
      if (squares(fitted) < squares(now)) { at = tried; now = fitted }
    }
    if (worst(now) > 0.98 * before) break
  }
  return worst(now) <= agreeWithin
}

/**
 * Whether the state a report of a masked part gives as its witness reads as the drawn board does, with that part faulty where it is good or good where it
 * is faulty: as it is named, or as the step from one of its two states to the other, taken from the drawn board's own state. Figures are moved to fit, and
 * the parts at fault in either may lie anywhere in their tolerances: which of two equal resistors is open shows only in what the other is.
 */
export const reportedWitnessFits = (drawn: DrawnBoard, { parts }: Diagnosis, ref: string): boolean => {
  const witness = parts.find((part) => part.ref === ref)?.witness
  if (witness === null || witness === undefined) return false
  const has = (faults: readonly Fault[]): boolean => faults.some((fault) => fault.kind !== 'bridge' && fault.ref === ref)
  const loose = (set: readonly Fault[]): Set<string> => new Set([...set, ...drawn.faults].flatMap((fault) => (fault.kind === 'bridge' ? [] : [fault.ref])))
  const less = (set: readonly Fault[], other: readonly Fault[]): Fault[] => set.filter((fault) => !other.some((one) => key(one) === key(fault)))
  const step = (from: readonly Fault[], to: readonly Fault[]): Fault[] => [...less(drawn.faults, less(from, to)), ...less(to, from)]
  const states = [witness.likely, witness.other, step(witness.likely, witness.other), step(witness.other, witness.likely)]
  return states.some((set) => has(set) !== has(drawn.faults) && fitsTruth(drawn, set, loose(set)))
}

/** Listed: a set of the top class has the parts, pins and kinds of the visible faults. Alike: none is listed, but one fits the true readings. */
export const exactness = (drawn: DrawnBoard, topClass: readonly (readonly Fault[])[] | undefined, mostTried = 5): 'listed' | 'alike' | 'other' => {
  if (topClass === undefined) return 'other'
  const wanted = [keysOf(visibleFaults(drawn)), keysOf(drawn.faults)]
  if (topClass.some((set) => wanted.includes(keysOf(set)))) return 'listed'
  return topClass.slice(0, mostTried).some((set) => fitsTruth(drawn, set)) ? 'alike' : 'other'
}
