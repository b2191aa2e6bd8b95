/** One combination of faults: what it predicts at each reading, and how well it explains them all. */
import type { Cell } from './cells'
import { type Evidence, evidenceOf, type Linear, type Seen, varianceLeft } from './evidence'
import { load, type Model, type NetPlacement, type Sight, sightAt } from './model'
import { normalShare } from '../../metrology/normal'

export type Taken = { placement: NetPlacement; seen: Seen }

/** `spread` and `figures`: the point about which it is linear; `sights` one a reading. Never changed, only replaced. */
export type Hypothesis = {
  cells: readonly Cell[]
  spread: Float64Array; figures: Float64Array
  sights: readonly Sight[]
  evidence: Evidence
}

/** Logarithm of the readings' density, a figure outside its range held against it. */
const rangeWidth = 0.1
export const logOf = ({ cells, evidence }: Hypothesis, known: number): number => evidence.log + cells.reduce((sum, { figure }, at) => {
  if (figure === null) return sum
  const value = evidence.mean[known + at] ?? figure.mean
  const out = Math.max(figure.least - value, value - figure.most, 0) / rangeWidth
  return sum - out * out / 2
}, 0)

const pointOf = (spread: Float64Array, figures: Float64Array): Float64Array => {
  const at = new Float64Array(spread.length + figures.length)
  at.set(spread)
  at.set(figures, spread.length)
  return at
}

const unknownsOf = (model: Model, cells: readonly Cell[]): { mean: Float64Array; sd: Float64Array } => {
  const { unknowns } = model.slots
  const known = unknowns.length
  const mean = new Float64Array(known + cells.length)
  const sd = new Float64Array(known + cells.length)
  unknowns.forEach((one, at) => { sd[at] = one.sd })
  cells.forEach(({ figure }, at) => { mean[known + at] = figure?.mean ?? 0; sd[known + at] = figure?.sd ?? 0 })
  return { mean, sd }
}

export const linearOf = (spread: Float64Array, figures: Float64Array, sights: readonly Sight[]): Linear => ({
  at: pointOf(spread, figures), predicted: Float64Array.from(sights, ({ y }) => y), slopes: sights.map(({ slopes }) => slopes),
})

export const evidenceAt = (model: Model, cells: readonly Cell[], taken: readonly Taken[], linear: Linear, extra?: Float64Array): Evidence =>
  evidenceOf(taken.map(({ seen }) => seen), unknownsOf(model, cells), linear, extra)

/** What the readings leave open, under a hypothesis, of anything that follows the board's unknowns and its own figures with these slopes: its variance. */
export const leftOpen = (model: Model, { cells, spread, figures, sights }: Hypothesis, taken: readonly Taken[]): ((slopes: Float64Array) => number) =>
  varianceLeft(taken.map(({ seen }) => seen), unknownsOf(model, cells), linearOf(spread, figures, sights))

/** Sights at the readings from `since` on; null where an operating point was not found. */
export const sightsFor = (
  model: Model, cells: readonly Cell[], spread: Float64Array, figures: Float64Array, taken: readonly Taken[], near: readonly (Sight | undefined)[], since = 0,
  kept: readonly (Sight | null)[] = [],
): Sight[] | null => {
  load(model, cells, spread, figures)
  const sights: Sight[] = []
  for (let at = since; at < taken.length; at += 1) {
    const one = taken[at]
    const sight = one === undefined ? null : kept[at] ?? sightAt(model, one.placement, near[at] ?? null)
    if (sight === null) return null
    sights.push(sight)
  }
  return sights
}

/** Half the squares of what is left over, at the point itself. */
const strain = (model: Model, cells: readonly Cell[], at: Float64Array, sights: readonly Sight[], taken: readonly Taken[]): number => {
  const { mean, sd } = unknownsOf(model, cells)
  let sum = 0
  for (let k = 0; k < at.length; k += 1) if ((sd[k] ?? 0) > 0) sum += (((at[k] ?? 0) - (mean[k] ?? 0)) / (sd[k] ?? 1)) ** 2 / 2
  taken.forEach(({ seen }, which) => {
    const off = ((sights[which]?.y ?? 0) - seen.y) / seen.sigma
    sum += seen.kind === 'figure' ? off * off / 2 : -Math.log(seen.wrong + (1 - seen.wrong) * (off > 8 ? 1 : off < -30 ? 0 : normalShare(off)))
  })
  return sum
}

/** A figure may move this far (of its logarithm) at a step; what moves less than the second is where it was. */
const longestStep = 1.5
const settled = 0.03
const settledSpread = 0.15
const mostSteps = 6

/** A change that is less than this share of a reading's standard deviation changes nothing. */
export const unseen = 0.05

/** What a reading was where it was solved. */
export type Solved = { spread: Float64Array; figures: Float64Array; sight: Sight }

/** What following a reading's slopes may be wrong by, as a share of its standard deviation. */
const followedWithin = 0.1

/**
 * A reading at another point without solving it: as its slopes say, where the parts' spread moves little and the figures so little that the bend is not
 * seen (a change follows its figure at most as fast as a conductance does). Null: it has to be solved.
 */
export const followed = ({ spread, figures, sight }: Solved, { seen }: Taken, spreadThen: Float64Array, figuresThen: Float64Array): Sight | null => {
  const known = spread.length
  const { slopes } = sight
  let { y } = sight
  let bend = 0
  const follow = (slope: number, by: number): void => {
    y += slope * by
    bend += Math.abs(slope) * (Math.expm1(Math.abs(by)) - Math.abs(by))
  }
  for (let k = 0; k < figures.length; k += 1) follow(slopes[known + k] ?? 0, (figuresThen[k] as number) - (figures[k] as number))
  if (spreadThen !== spread) for (let k = 0; k < known; k += 1) follow(slopes[k] as number, (spreadThen[k] as number) - (spread[k] as number))
  return bend < followedWithin * seen.sigma ? { ...sight, y } : null
}

/** Moves the point of linearity to where the readings pull it (Gauss and Newton's steps, halved while they make it worse). */
const moved = (model: Model, first: Hypothesis, taken: readonly Taken[]): Hypothesis => {
  const known = model.slots.unknowns.length
  let now = first
  let worst = NaN
  const solvedAt = first.sights.map((sight): Solved => ({ spread: first.spread, figures: first.figures, sight }))
  for (let step = 0; step < mostSteps; step += 1) {
    const { cells, spread, figures, evidence } = now
    const moves = cells.map(({ figure }, at) => (figure === null ? 0
      : Math.min(Math.max(figure.least - 0.2, evidence.mean[known + at] ?? 0), figure.most + 0.2) - (figures[at] ?? 0)))
    const largest = moves.reduce((most, one) => Math.max(most, Math.abs(one)), 0)
    let spreadMoves = 0
    for (let k = 0; k < known; k += 1) spreadMoves = Math.max(spreadMoves, Math.abs((evidence.mean[k] ?? 0) - (spread[k] ?? 0)))
    if (largest < settled && spreadMoves < settledSpread) return now
    if (Number.isNaN(worst)) worst = strain(model, cells, pointOf(spread, figures), now.sights, taken)
    let share = largest > longestStep ? longestStep / largest : 1
    let next: Hypothesis | null = null
    for (let halved = 0; halved < 4; halved += 1, share /= 2) {
      const spreadThen = spread.map((one, k) => one + share * ((evidence.mean[k] ?? 0) - one))
      const figuresThen = figures.map((one, at) => one + share * (moves[at] ?? 0))
      const kept = taken.map((one, at) => { const solved = solvedAt[at]; return solved === undefined ? null : followed(solved, one, spreadThen, figuresThen) })
      const sights = sightsFor(model, cells, spreadThen, figuresThen, taken, now.sights, 0, kept)
      if (sights === null) continue
      const strained = strain(model, cells, pointOf(spreadThen, figuresThen), sights, taken)
      if (strained > worst + 0.5) continue
      next = { cells, spread: spreadThen, figures: figuresThen, sights, evidence: evidenceAt(model, cells, taken, linearOf(spreadThen, figuresThen, sights)) }
      sights.forEach((sight, at) => { if (kept[at] === null) solvedAt[at] = { spread: spreadThen, figures: figuresThen, sight } })
      worst = strained
      break
    }
    if (next === null) return now
    now = next
  }
  return now
}

/** A reading so far from what a hypothesis says, in standard deviations, that another explanation must be looked for from further back. */
const poorFrom = 4
export const isPoor = (model: Model, { sights, spread }: Hypothesis, taken: readonly Taken[]): boolean => taken.some(({ seen }, at) =>
  seen.kind === 'figure' && Math.abs((sights[at]?.y ?? 0) - seen.y) > poorFrom * seen.sigma)
  || model.slots.unknowns.some(({ sd }, at) => Math.abs(spread[at] ?? 0) > poorFrom * sd)

/** Figures that are pulled no further than this (of their logarithm), and spreads no further than this many standard deviations, lie near the point of linearity. */
const near = { figures: 0.4, spreads: 1.5 }

/** Whether the linear model holds where the readings pull it, as near as a proposal of the next reading needs it. */
export const isNear = (model: Model, { cells, spread, figures, evidence }: Hypothesis): boolean => {
  const { unknowns } = model.slots
  return cells.every(({ figure }, at) => figure === null || Math.abs((evidence.mean[unknowns.length + at] ?? 0) - (figures[at] ?? 0)) < near.figures)
    && unknowns.every(({ sd }, k) => Math.abs((evidence.mean[k] ?? 0) - (spread[k] ?? 0)) < near.spreads * sd)
}

/**
 * Moved to where the readings pull it. Where nothing within reason fits, the point stays where it is, and what the moved one leaves unexplained is held
 * against it: a linear model would promise a fit far off that is not there.
 */
export const refined = (model: Model, first: Hypothesis, taken: readonly Taken[]): Hypothesis => {
  const better = moved(model, first, taken)
  if (!isPoor(model, better, taken)) return better
  const left = strain(model, better.cells, pointOf(better.spread, better.figures), better.sights, taken) - better.evidence.strain
  return { ...first, evidence: { ...first.evidence, log: better.evidence.log - Math.max(left, 0) } }
}

/** With the cells' figures where they are before any reading, unless `figures` says where; null where it has no operating point. */
export const hypothesisOf = (
  model: Model, cells: readonly Cell[], taken: readonly Taken[], spread: Float64Array, near: readonly (Sight | undefined)[] = [],
  figures: Float64Array = Float64Array.from(cells, ({ figure }) => figure?.mean ?? 0),
): Hypothesis | null => {
  const sights = sightsFor(model, cells, spread, figures, taken, near)
  return sights === null ? null : { cells, spread, figures, sights, evidence: evidenceAt(model, cells, taken, linearOf(spread, figures, sights)) }
}

/** With the readings that came since; `taken` begins with those it knows. */
export const extended = (model: Model, old: Hypothesis, taken: readonly Taken[]): Hypothesis | null => {
  if (old.sights.length === taken.length) return old
  const more = sightsFor(model, old.cells, old.spread, old.figures, taken, [], old.sights.length)
  if (more === null) return null
  const sights = [...old.sights, ...more]
  return { ...old, sights, evidence: evidenceAt(model, old.cells, taken, linearOf(old.spread, old.figures, sights)) }
}
