/**
 * Which combinations of faults the readings leave. A base is a set of faults all of which the readings call for; what else may be wrong unseen is
 * carried beside it as odds, one site independent of the other, so that sets of up to five faults need not be listed.
 */
import { type Base, baseOf, type Extra, faultsIn, logCalledFor, logOfBase, logShareOf, same, type Search } from './bases'
import { lookedAt } from './beside'
import type { Cell, SiteFaults } from './cells'
import { extended, type Hypothesis, hypothesisOf, isPoor, refined } from './hypothesis'
import type { Model } from './model'
import { elementary, perSet, sumOver, type CountPrior } from './set-prior'

export type Effort = { /** Bases that are looked at in full. */ looks: number; /** How far below the best a base may lie, in e-folds. */ within: number; /** What lies this far below the best explanation beside a base is not followed. */ below: number }
export const usualEffort: Effort = { looks: 12, within: 4, below: 10 }

export const searchOf = (model: Model, sites: readonly SiteFaults[], cells: readonly Cell[], counts: CountPrior, strayOdds: number): Search => ({
  model, sites, cells, counts, strayOdds,
  worth: perSet(counts, sites.map(({ weight }) => weight)), taken: [], bases: [],
})

/** A cell about a figure that was found: as dense there as the even law it stands for. */
const centred = (cell: Cell, value: number): Cell => {
  const { figure } = cell
  if (figure === null) return cell
  // Cells overlap to an even density of share / step; a bell's height is 1 / (sd·√(2π)).
  return { ...cell, figure: { ...figure, mean: value }, share: cell.share / figure.step * figure.sd * Math.sqrt(2 * Math.PI) }
}

/** Odds of every site beside a base: of the faults that the readings do not call for, and that no likelier base stands for. */
const oddsOf = (search: Search, base: Base, likelier: readonly Base[]): Float64Array => {
  const odds = new Float64Array(search.sites.length)
  const owned = (cell: Cell): boolean => likelier.some(({ hypothesis: { cells } }) =>
    cells.some((one) => same(one, cell)) && cells.every((one) => same(one, cell) || base.hypothesis.cells.some((other) => same(one, other))))
  for (const extra of base.extras) {
    if (extra === null || extra.cell.kind === 'stray' || extra.log > logCalledFor || owned(extra.cell)) continue
    odds[extra.cell.site] = (odds[extra.cell.site] ?? 0) + (search.sites[extra.cell.site]?.weight ?? 0) * extra.cell.share * Math.exp(extra.log)
  }
  return odds
}

/** Weighs all bases against each other; the likeliest first. Those not looked at take the odds of the likeliest. */
export const weighed = (search: Search, bases: readonly Base[]): Base[] => {
  const most = search.counts.length - 1
  const order = [...bases].sort((a, b) => b.log - a.log)
  const before: Base[] = []
  let usual: Float64Array | null = null
  const logs = order.map((base) => {
    let odds: Float64Array
    if (base.extras.length > 0) { odds = oddsOf(search, base, before); usual ??= odds } else {
      odds = (usual ?? new Float64Array(search.sites.length)).slice()
      for (const { site, kind } of base.hypothesis.cells) if (kind !== 'stray') odds[site] = 0
    }
    base.odds = odds
    before.push(base)
    return base.log + Math.log(Math.max(sumOver(search.worth, faultsIn(base.hypothesis), elementary(odds, most)), 1e-300))
  })
  const top = logs.reduce((a, b) => Math.max(a, b), -Infinity)
  const total = logs.reduce((sum, log) => sum + Math.exp(log - top), 0)
  order.forEach((base, at) => { base.probability = Math.exp((logs[at] ?? -Infinity) - top) / total })
  return order.sort((a, b) => b.probability - a.probability)
}

const without = (search: Search, base: Base, at: number): Hypothesis | null => {
  const { hypothesis: { cells, spread, figures } } = base
  const made = hypothesisOf(search.model, cells.filter((_, which) => which !== at), search.taken, spread, base.hypothesis.sights, Float64Array.from(figures.filter((_, which) => which !== at)))
  return made === null ? null : refined(search.model, made, search.taken)
}

/** Keeps bases all of whose faults the readings call for. */
export const calledForOnly = (search: Search, bases: readonly Base[]): Base[] => bases.filter((base) => {
  const { cells } = base.hypothesis
  return cells.every((cell) => {
    const rest = bases.find((other) => other.hypothesis.cells.length === cells.length - 1
      && other.hypothesis.cells.every((one) => one !== cell && cells.some((own) => own !== cell && same(own, one))))
    return rest === undefined || base.log - logShareOf(search, cell) - rest.log > logCalledFor
  })
})

/** A base with one fault less than another: from it, what else could stand in for that fault is found. */
const isLess = ({ hypothesis: { cells } }: Base, { hypothesis: { cells: more } }: Base): boolean =>
  cells.length === more.length - 1 && cells.every((cell) => more.some((one) => same(one, cell)))

const likeliest = (bases: readonly Base[]): Base | undefined =>
  bases.reduce<Base | undefined>((best, one) => (best === undefined || one.log > best.log ? one : best), undefined)

const alike = (one: Base, other: Base): boolean => {
  const [a, b] = [one.hypothesis, other.hypothesis]
  return a.cells.length === b.cells.length && a.cells.every((cell, at) => b.cells.some((twin, which) => same(twin, cell)
    && Math.abs((b.figures[which] ?? 0) - (a.figures[at] ?? 0)) < Math.max(0.1, 0.7 * (cell.figure?.sd ?? 0))))
}

/** Of bases whose figures came to lie together, the likeliest. */
export const distinct = (bases: readonly Base[]): Base[] =>
  [...bases].sort((a, b) => b.log - a.log).reduce<Base[]>((kept, base) => (kept.some((one) => alike(one, base)) ? kept : [...kept, base]), [])

/** A base with each of the further faults that the readings call for beside it; those that explain much less than the best of them are left out. */
export const calledForBy = (search: Search, { hypothesis, extras }: Base, below: number): Hypothesis[] => {
  if (faultsIn(hypothesis) >= search.counts.length - 1) return []
  const better = extras.filter((extra) => extra !== null).filter((extra) => extra.refined !== null && extra.log > logCalledFor)
  const worth = (extra: Extra): number => extra.log + logShareOf(search, extra.cell)
  const top = better.reduce((most, extra) => Math.max(most, worth(extra)), -Infinity)
  return better.flatMap((extra) => {
    if (extra.refined === null || worth(extra) < top - below) return []
    const { cells, figures, spread, sights } = extra.refined
    const last = cells.length - 1
    const own = cells.map((cell, at) => (at === last ? centred(extra.cell, figures[last] ?? 0) : cell))
    const moved = hypothesisOf(search.model, own, search.taken, spread, sights, figures)
    return moved === null ? [] : [refined(search.model, moved, search.taken)]
  })
}

/** Takes in the readings that were added to `taken`, and looks for what explains them. */
export const searched = (search: Search, effort = usualEffort): Search => {
  const { model, taken } = search
  let bases: Base[] = search.bases.flatMap((base): Base[] => {
    const longer = extended(model, base.hypothesis, taken)
    if (longer === null) return []
    const hypothesis = refined(model, longer, taken)
    const moved = hypothesis.spread !== longer.spread || hypothesis.figures !== longer.figures
    return [{ ...base, hypothesis, log: logOfBase(search, hypothesis), ...(moved ? { extras: [], before: base.extras.length > 0 ? base.extras : base.before } : {}) }]
  })
  if (!bases.some(({ key }) => key === '')) {
    const none = hypothesisOf(model, [], taken, new Float64Array(model.slots.unknowns.length))
    if (none !== null) bases.push(baseOf(search, none))
  }
  const looked = new Set<string>()
  const known = new Set(bases.map(({ key }) => key))
  const push = (hypothesis: Hypothesis): void => {
    const base = baseOf(search, hypothesis)
    if (known.has(base.key) || bases.some((other) => alike(other, base))) return
    known.add(base.key)
    bases.push(base)
  }
  for (let look = 0; look < effort.looks * 2; look += 1) {
    bases = weighed(search, bases)
    if (look >= effort.looks && !(bases[0] !== undefined && isPoor(model, bases[0].hypothesis, taken))) break
    const best = Math.log(bases[0]?.probability ?? 1)
    const [first] = bases
    const back = first !== undefined && isPoor(model, first.hypothesis, taken)
      ? likeliest(bases.filter(({ key, hypothesis }) => !looked.has(key) && hypothesis.cells.length < first.hypothesis.cells.length)) : undefined
    const base = back ?? bases.find((one) => !looked.has(one.key) && Math.log(one.probability) > best - effort.within)
      ?? bases.find((one) => !looked.has(one.key) && first !== undefined && isLess(one, first))
    if (base === undefined) break
    looked.add(base.key)
    const full = lookedAt(search, base, effort.below)
    bases[bases.indexOf(base)] = full
    calledForBy(search, full, effort.below).forEach(push)
    if (full.hypothesis.cells.length > 0) full.hypothesis.cells.forEach((_, at) => { const less = without(search, full, at); if (less !== null) push(less) })
  }
  const kept = weighed(search, calledForOnly(search, distinct(bases)))
  const best = kept[0]?.probability ?? 1
  return { ...search, bases: kept.filter((base, at) => (at < 30 && base.probability > best * Math.exp(-12)) || base.key === '' || (kept[0] !== undefined && isLess(base, kept[0]))) }
}

/** Whether even the likeliest base leaves a reading unexplained. */
export const isUnexplained = ({ model, bases: [first], taken }: Search): boolean => first !== undefined && isPoor(model, first.hypothesis, taken)

const bestLog = ({ bases }: Search): number => bases.reduce((most, { log }) => Math.max(most, log), -Infinity)

/** A search from the start takes the readings in at so many times: on 12 tuning boards it found the same ten sets as reading by reading. */
const timesAnew = 3

/** From the start, the readings in this order; what the readings then are is told in the order of the search. */
const anew = (search: Search, effort: Effort, order: readonly number[]): Search => {
  const taken = order.flatMap((at) => search.taken[at] ?? [])
  const batch = Math.max(1, Math.ceil(taken.length / timesAnew))
  let found: Search = { ...search, taken: [], bases: [] }
  while (found.taken.length < taken.length) found = searched({ ...found, taken: taken.slice(0, found.taken.length + batch) }, effort)
  const bases = found.bases.map((base): Base => {
    const sights = [...base.hypothesis.sights]
    order.forEach((at, which) => { const sight = base.hypothesis.sights[which]; if (sight !== undefined) sights[at] = sight })
    return { ...base, extras: [], before: [], hypothesis: { ...base.hypothesis, sights } }
  })
  return { ...found, taken: search.taken, bases }
}

const latestFirst = (search: Search): number[] => search.taken.map((_, at) => search.taken.length - 1 - at)
const everyOtherFirst = (search: Search): number[] => [...search.taken.keys()].sort((a, b) => (b % 2) - (a % 2) || a - b)

/** As `searched`; where that leaves a reading unexplained, once more from the start. */
export const searchedAnew = (search: Search, effort = usualEffort): Search => {
  const found = searched(search, effort)
  if (!isUnexplained(found) || search.taken.length < 2) return found
  const again = anew(search, effort, latestFirst(search))
  return isUnexplained(again) && bestLog(again) <= bestLog(found) ? found : again
}

const mostExchanges = 3

/** A base with another plain fault of the same part and pin in place of one of its own: open, reversed or short. */
const otherwise = (search: Search, { hypothesis: { cells, spread, figures, sights } }: Base, at: number): Hypothesis[] => {
  const own = cells[at]
  const others = search.cells.filter(({ site, pin, kind }) => site === own?.site && pin === own.pin && kind !== own.kind && (kind === 'open' || kind === 'reversed' || kind === 'short'))
  return others.flatMap((other) => {
    const then = cells.map((cell, which) => (which === at ? other : cell))
    const made = hypothesisOf(search.model, then, search.taken, spread, sights, figures.map((figure, which) => (which === at ? other.figure?.mean ?? 0 : figure)))
    return made === null ? [] : [refined(search.model, made, search.taken)]
  })
}

/**
 * Each fault of the likeliest set in turn is taken away, and whatever else could stand in for it is tried; or made another fault of the same part, which alone
 * explains less, and what that calls for besides is tried: a drift may be an open part beside a short. So on from a likelier set that comes of it.
 */
const exchanged = (search: Search, effort: Effort): Search => {
  let bases = weighed(search, search.bases)
  for (let round = 0; round < mostExchanges; round += 1) {
    const [top] = bases
    if (top === undefined) break
    const others = top.hypothesis.cells.flatMap((_, at) => {
      const less = without(search, top, at)
      return [...(less === null ? [] : [less]), ...otherwise(search, top, at)].flatMap((from) =>
        calledForBy(search, lookedAt(search, baseOf(search, from), effort.below), effort.below).map((one) => baseOf(search, one)))
    })
    bases = weighed(search, calledForOnly(search, distinct([...bases, ...others])))
    if (bases[0]?.key === top.key) break
  }
  return { ...search, bases }
}

/** Before a verdict: joined by what searches find that take the readings in otherwise, which may be sets that no single exchange of faults leads to; then by exchanges. */
export const reconsidered = (search: Search, effort = usualEffort): Search => {
  const others = [latestFirst(search), everyOtherFirst(search)].flatMap((order) => anew(search, effort, order).bases)
  return searched(exchanged({ ...search, bases: distinct([...search.bases, ...others]) }, effort), effort)
}
