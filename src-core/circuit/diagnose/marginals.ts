/** From bases and what may hide beside them to the probability of each site and each cell. */
import type { Cell } from './cells'
import type { Hypothesis } from './hypothesis'
import { type Base, faultsIn, logCalledFor, type Search } from './bases'
import { elementary, elementaryWithout, sumOver } from './set-prior'

/** A further fault that may hide beside a base, with its probability if the base holds; `figure` is the logarithm of the likeliest. */
export type Hiding = { cell: Cell; probability: number; figure: number }

/** Per site: the probability, if the base holds, that it is faulty unseen. */
const siteShares = ({ worth, counts }: Search, { odds, hypothesis }: Base): Float64Array => {
  const e = elementary(odds, counts.length - 1)
  const has = faultsIn(hypothesis)
  const whole = sumOver(worth, has, e)
  return odds.map((one) => (one === 0 || !(whole > 0) ? 0 : one * sumOver(worth, has + 1, elementaryWithout(e, one)) / whole))
}

export const hidingBeside = (search: Search, base: Base): Hiding[] => {
  const shares = siteShares(search, base)
  return base.extras.flatMap((extra): Hiding[] => {
    if (extra === null || extra.cell.kind === 'stray' || extra.log > logCalledFor) return []
    const { cell, refined } = extra
    const odds = base.odds[cell.site] ?? 0
    if (!(odds > 0)) return []
    const own = (search.sites[cell.site]?.weight ?? 0) * cell.share * Math.exp(extra.log)
    const probability = (shares[cell.site] ?? 0) * Math.min(own / odds, 1)
    return probability > 0 ? [{ cell, probability, figure: refined?.figures.at(-1) ?? cell.figure?.mean ?? 0 }] : []
  })
}

/** Probability, if a base holds, that nothing beside it is faulty but what `allows` admits. */
export const onlyBeside = (search: Search, base: Base, hiding: readonly Hiding[], allows: (one: Hiding) => boolean): number => {
  const { odds, hypothesis } = base
  const shares = siteShares(search, base)
  const admitted = new Float64Array(odds.length)
  for (const one of hiding) {
    if (!allows(one)) continue
    const share = shares[one.cell.site] ?? 0
    if (share > 0) admitted[one.cell.site] = (admitted[one.cell.site] ?? 0) + (odds[one.cell.site] ?? 0) * one.probability / share
  }
  const most = search.counts.length - 1
  const has = faultsIn(hypothesis)
  const whole = sumOver(search.worth, has, elementary(odds, most))
  return whole > 0 ? sumOver(search.worth, has, elementary(admitted, most)) / whole : 1
}

/** Of each site being faulty, and of each cell, in the order of the lists; `figures`: the likeliest of each cell, logarithm; `from`: the hypothesis that told it, where one holds the cell. */
export type Marginals = { sites: Float64Array; cells: Float64Array; figures: Float64Array; from: Map<number, Hypothesis> }

export const marginalsOf = (search: Search): Marginals => {
  const { sites, cells, bases } = search
  const out: Marginals = { sites: new Float64Array(sites.length), cells: new Float64Array(cells.length), figures: Float64Array.from(cells, ({ figure }) => figure?.mean ?? 0), from: new Map() }
  const strongest = new Float64Array(cells.length)
  const add = (cell: Cell, probability: number, figure: number, hypothesis: Hypothesis | null): void => {
    out.cells[cell.index] = (out.cells[cell.index] ?? 0) + probability
    if (probability <= (strongest[cell.index] ?? 0)) return
    strongest[cell.index] = probability
    out.figures[cell.index] = figure
    if (hypothesis === null) out.from.delete(cell.index)
    else out.from.set(cell.index, hypothesis)
  }
  for (const base of bases) {
    const { hypothesis, probability } = base
    hypothesis.cells.forEach((cell, at) => {
      if (cell.kind === 'stray') return
      out.sites[cell.site] = (out.sites[cell.site] ?? 0) + probability
      add(cell, probability, hypothesis.figures[at] ?? 0, hypothesis)
    })
    siteShares(search, base).forEach((share, site) => { out.sites[site] = (out.sites[site] ?? 0) + probability * share })
    for (const { cell, probability: share, figure } of hidingBeside(search, base)) add(cell, probability * share, figure, null)
  }
  return out
}
