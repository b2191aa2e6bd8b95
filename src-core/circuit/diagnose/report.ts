/** From probabilities to what is said of each part, and the classes of fault sets that cannot be told apart. */
import type { BoardType, Part } from '../../board/board-type'
import { placesOf } from '../../board/part-places'
import type { MeterFunction } from '../../meter/reading'
import type { Action, FaultClass, PartReport } from '../diagnosis'
import type { Fault } from '../faults'
import { tellsAlone } from './alone'
import type { Allowed, Gauge } from './allowed-placements'
import { type Cell, faultOf } from './cells'
import { type Hypothesis, leftOpen } from './hypothesis'
import { type Hiding, hidingBeside, type Marginals, marginalsOf, onlyBeside } from './marginals'
import type { Base, Search } from './bases'
import { keyOfPlacement } from './seen'
import { isHidden, joinedSurveys, readsAlike, staysHidden, type Survey, surveyOf } from './survey'

/** Where probabilities become words. */
export type Thresholds = { faultyFrom: number; goodUpTo: number; /** Evidence that a good part needs: its odds fell to this share of what they were. */ goodShare: number }
export const usualThresholds: Thresholds = { faultyFrom: 0.8, goodUpTo: 0.002, goodShare: 0.5 }

export type Context = {
  board: BoardType; search: Search; allowed: readonly Allowed[]
  /** Further placements: what is to hold everywhere is held against them as well, where it holds at the others. */
  distant: readonly Allowed[]
  gaugeOf: (what: MeterFunction) => Gauge
  surveyOf: (hypothesis: Hypothesis) => Survey
  /** Probability of each site before any reading. */
  before: Float64Array
  thresholds: Thresholds
}

const rounded = (fault: Fault, spread: number): Fault => {
  const three = (value: number): number => Number(value.toPrecision(3))
  return 'ohms' in fault ? { ...fault, ohms: three(fault.ohms), spread } : 'factor' in fault ? { ...fault, factor: three(fault.factor), spread } : fault
}
/** @param spread of the figure's logarithm, as the readings leave it; that of the cell where none tells it. */
export const faultAt = (cell: Cell, figure: number, spread = cell.figure?.sd ?? 0): Fault[] => {
  const fault = faultOf(cell, figure)
  return fault === null ? [] : [rounded(fault, Number(spread.toPrecision(2)))]
}

/** Of the figure of one cell of a hypothesis: the standard deviation of its logarithm that the readings leave, no more than that of the cell. */
const spreadsOf = ({ model, taken }: Search, hypothesis: Hypothesis): ((at: number) => number) => {
  let left: ((slopes: Float64Array) => number) | null = null
  return (at) => {
    left ??= leftOpen(model, hypothesis, taken)
    const known = model.slots.unknowns.length
    const slopes = new Float64Array(known + hypothesis.cells.length)
    slopes[known + at] = 1
    return Math.min(Math.sqrt(Math.max(0, left(slopes))), hypothesis.cells[at]?.figure?.sd ?? 0)
  }
}

export const faultsOf = (search: Search, hypothesis: Hypothesis): Fault[] => {
  const { cells, figures } = hypothesis
  const spreads = spreadsOf(search, hypothesis)
  return cells.flatMap((cell, at) => faultAt(cell, figures[at] ?? 0, cell.figure === null ? undefined : spreads(at)))
}

/** Bases that read as the likeliest does everywhere, and what hides beside it everywhere. */
export type TopClass = { top: Base; alike: Base[]; hiding: Hiding[]; hidden: Hiding[] }

const mostAlike = 6
const leastAlike = 0.002

export const topClassOf = (context: Context): TopClass | null => {
  const { search, allowed, gaugeOf, surveyOf } = context
  const [top] = search.bases
  if (top === undefined) return null
  const survey = surveyOf(top.hypothesis)
  const alike = search.bases.slice(1, mostAlike + 1).filter(({ hypothesis, probability }) =>
    probability > leastAlike && readsAlike(search.model, survey, hypothesis, allowed, gaugeOf))
  const hiding = hidingBeside(search, top)
  const hidden = hiding.filter(({ cell, figure }) => isHidden(search.model, top.hypothesis, survey, allowed, gaugeOf, cell, cell.index, figure))
  return { top, alike, hiding, hidden }
}

const mostSets = 40
/** What hides beside the likeliest set is listed from this probability on. */
const leastListed = 0.005

export const classesOf = ({ search }: Context, { top, alike, hiding, hidden }: TopClass): FaultClass[] => {
  const own = faultsOf(search, top.hypothesis)
  const hides = new Set(hidden.map(({ cell }) => cell.index))
  const alone = onlyBeside(search, top, hiding, ({ cell }) => hides.has(cell.index))
  const likeliest = [...hidden].sort((a, b) => b.probability - a.probability)
    .filter(({ cell, probability }, at, all) => probability > leastListed
      && all.findIndex(({ cell: one }) => one.site === cell.site && one.pin === cell.pin && one.kind === cell.kind) === at)
  const sets = [own, ...alike.map(({ hypothesis }) => faultsOf(search, hypothesis)), ...likeliest.map(({ cell, figure }) => [...own, ...faultAt(cell, figure)])]
  const together = top.probability + alike.reduce((sum, { probability }) => sum + probability, 0)
  const first: FaultClass = { sets: sets.slice(0, mostSets), probability: Math.min(1, alone * together) }
  const others = search.bases.filter((base) => base !== top && !alike.includes(base)).slice(0, 5)
    .map((base): FaultClass => ({ sets: [faultsOf(search, base.hypothesis)], probability: alone * base.probability }))
  const further = hiding.filter(({ cell, probability }) => !hides.has(cell.index) && probability > 0.01)
    .map(({ cell, probability, figure }): FaultClass => ({ sets: [[...own, ...faultAt(cell, figure)]], probability: top.probability * probability }))
  return [first, ...[...others, ...further].sort((a, b) => b.probability - a.probability).filter(({ probability }) => probability > 0.005).slice(0, 6)]
}

/** Parts whose fault, were it repaired, would let this state be seen; else those that lie straight across it. */
const maskedBy = (board: BoardType, part: Part, top: Hypothesis, fault: Fault | undefined): string[] => {
  const nets = new Set(Object.values(part.pins))
  const pin = fault !== undefined && 'pin' in fault && fault.pin !== null ? part.pins[fault.pin] : undefined
  const touching = board.parts.filter((other) => other.ref !== part.ref && Object.values(other.pins).filter((net) => nets.has(net)).length >= 1
    && (pin === undefined || Object.values(other.pins).includes(pin)))
  const broken = touching.filter(({ ref }) => top.cells.some((cell) => cell.ref === ref))
  if (broken.length > 0) return broken.map(({ ref }) => ref)
  return touching.filter((other) => other.kind !== 'connector' && Object.values(other.pins).filter((net) => nets.has(net)).length >= 2).map(({ ref }) => ref)
}

/** `first` null: nothing explains the readings, and nothing is said of any part. */
export const partReportsOf = (context: Context, first: TopClass | null): PartReport[] => {
  const { board, search, thresholds: { faultyFrom, goodUpTo, goodShare } } = context
  const marginals = marginalsOf(search)
  const alike = first === null ? null : alikeEverywhere(context, first)
  return board.parts.map((part): PartReport => {
    const site = search.sites.findIndex(({ ref }) => ref === part.ref)
    const probability = Math.min(1, marginals.sites[site] ?? 0)
    const plain = { ref: part.ref, probability, kinds: site < 0 ? [] : kindsOf(search, marginals, site), maskedBy: [], unmask: null, witness: null }
    if (site < 0 || first === null || alike === null) return { ...plain, report: 'unprobed' }
    if (probability >= faultyFrom) return { ...plain, report: 'faulty' }
    const before = context.before[site] ?? 0
    const fell = probability / (1 - probability) <= goodShare * before / (1 - before)
    if (probability <= goodUpTo && fell) return { ...plain, report: 'good' }
    return maskedReport(context, first, alike, part, site, plain)
  })
}

/** Where a hypothesis holds a cell. Its cells are copies, centred where its figures are; the index is what they share. */
const placeIn = ({ cells }: Hypothesis, { index, ref, kind }: Cell): number => {
  const at = cells.findIndex((own) => own.index === index)
  if (at < 0) throw new Error(`The hypothesis that told the figure of ${ref} ${kind} does not hold that cell.`)
  return at
}

const kindsOf = (search: Search, marginals: Marginals, site: number): PartReport['kinds'] => {
  const kinds = new Map<string, { fault: Fault; probability: number; top: number }>()
  for (const cell of search.cells) {
    const probability = marginals.cells[cell.index] ?? 0
    if (cell.site !== site || !(probability > 1e-4)) continue
    const from = marginals.from.get(cell.index)
    const [fault] = faultAt(cell, marginals.figures[cell.index] ?? 0, from === undefined || cell.figure === null ? undefined : spreadsOf(search, from)(placeIn(from, cell)))
    if (fault === undefined) continue
    const key = `${cell.pin ?? ''} ${cell.kind}`
    const known = kinds.get(key)
    kinds.set(key, { fault: known === undefined || probability > known.top ? fault : known.fault, probability: (known?.probability ?? 0) + probability, top: Math.max(known?.top ?? 0, probability) })
  }
  return [...kinds.values()].sort((a, b) => b.probability - a.probability).map(({ fault, probability }) => ({ fault, probability }))
}

/** What reads as the likeliest set does on one and the same board, at the further placements as well: another set, and a fault that hides beside it. */
type Alike = { twin: (base: Base) => boolean; hides: (one: Hiding) => boolean }

const alikeEverywhere = ({ search, allowed, distant, gaugeOf, surveyOf: surveyed }: Context, { top: { hypothesis }, hidden }: TopClass): Alike => {
  const { model, taken } = search
  const keys = new Set(taken.map(({ placement }) => keyOfPlacement(placement)))
  const near = surveyed(hypothesis)
  let known: { survey: Survey; all: Allowed[]; left: (slopes: Float64Array) => number } | null = null
  const everywhere = (): NonNullable<typeof known> => known ??= {
    survey: joinedSurveys(near, surveyOf(model, hypothesis, distant, { further: hidden.map(({ cell }) => cell) })), all: [...allowed, ...distant],
    left: leftOpen(model, hypothesis, taken),
  }
  return {
    // What the tolerances of the parts make up for here is told apart by another reading.
    twin: (base) => readsAlike(model, near, base.hypothesis, allowed, gaugeOf, hypothesis.spread)
      && readsAlike(model, everywhere().survey, base.hypothesis, everywhere().all, gaugeOf, hypothesis.spread),
    hides: ({ cell, figure }) => isHidden(model, hypothesis, near, allowed, gaugeOf, cell, cell.index, figure, true)
      && staysHidden(model, hypothesis, everywhere().survey, everywhere().all, gaugeOf, cell, figure, everywhere().left, (nets) => keys.has(keyOfPlacement(nets))),
  }
}

/** The leg by which a suspected fault is parted from the board; the first where the fault is of the whole part. */
const pinToLift = (part: Part, fault: Fault | undefined): string => {
  const place = fault !== undefined && 'pin' in fault ? fault.pin : null
  return placesOf(part).find((one) => place !== null && one.place === place)?.from ?? Object.keys(part.pins)[0] ?? ''
}

/** Masked where all that is left open about the part reads alike everywhere; unprobed where a reading would tell more. */
const maskedReport = (context: Context, first: TopClass, everywhere: Alike, part: Part, site: number, plain: Omit<PartReport, 'report'>): PartReport => {
  const { board, search, gaugeOf, thresholds: { goodUpTo } } = context
  const { top, alike, hidden } = first
  const own = faultsOf(search, top.hypothesis)
  const isIn = ({ hypothesis }: Base): boolean => hypothesis.cells.some((cell) => cell.site === site)
  const twin = alike.find((base) => isIn(base) !== isIn(top) && everywhere.twin(base))
  const hides = hidden.filter((one) => one.cell.site === site && everywhere.hides(one)).sort((a, b) => b.probability - a.probability)
  const [hide] = hides
  const open = twin === undefined && hide === undefined
  const inClass = top.probability + alike.reduce((sum, { probability }) => sum + probability, 0)
  const cannotTell = inClass * hides.reduce((sum, { probability }) => sum + probability, 0)
    + alike.reduce((sum, base) => sum + (isIn(base) !== isIn(top) ? base.probability : 0), 0)
  const couldTell = Math.max(0, (isIn(top) ? 1 - plain.probability : plain.probability) - cannotTell)
  if (open || couldTell > goodUpTo) return { ...plain, report: 'unprobed' }
  const other = twin !== undefined ? faultsOf(search, twin.hypothesis) : [...own, ...(hide === undefined ? [] : faultAt(hide.cell, hide.figure))]
  const state = [...other, ...own].find((fault) => 'ref' in fault && fault.ref === part.ref)
  const masks = maskedBy(board, part, top.hypothesis, state)
  const alone = state !== undefined && tellsAlone(board, part, state, search.model.drives, gaugeOf, search.model.capacitors.length > 0)
  const pin = pinToLift(part, state)
  const broken = masks.find((ref) => top.hypothesis.cells.some((cell) => cell.ref === ref))
  const unmask: Action = !alone ? { kind: 'replace', ref: part.ref } : broken !== undefined && twin === undefined ? { kind: 'replace', ref: broken } : { kind: 'lift', ref: part.ref, pin }
  return { ...plain, report: 'masked', maskedBy: masks, unmask, witness: { likely: own, other } }
}
