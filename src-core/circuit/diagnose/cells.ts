/** What can be wrong on a board: sites that fail independently of each other, and the cells that a fault's unknown figure is divided into. */
import { drawnRanges, upwardShare } from '../fault-priors'
import type { Fault } from '../faults'

/** A kind of fault at one place of a part, with its share of the part's weight. */
export type SiteState = { kind: Fault['kind']; pin: string | null; weight: number }

/** `weight`: of this part among all when a faulty one is drawn. A bridge belongs to no part: `nets` names its ends. */
export type SiteFaults = { ref: string; nets: readonly [string, string] | null; weight: number; states: readonly SiteState[] }

/**
 * The logarithm of a fault's figure (ohms, or the factor of a drift): normal about `mean`; never outside `least` to `most`. The circuit's values were
 * worked out at `origin`.
 */
export type Figure = { mean: number; origin: number; sd: number; /** From one cell's middle to the next. */ step: number; least: number; most: number }

export type Cell = {
  index: number
  /** Place in the list of sites. */
  site: number
  ref: string; pin: string | null; kind: Fault['kind'] | 'stray'
  nets: readonly [string, string] | null
  figure: Figure | null
  /** Of the site's weight. */
  share: number
}

/** Drawn ranges of circuit.md, even in their logarithm, and into how many cells each is divided. */
const ranges = {
  short: [{ range: drawnRanges.shortOhms, cells: 1, share: 1 }],
  leaky: [{ range: drawnRanges.leakOhms, cells: 5, share: 1 }],
  drifted: [{ range: drawnRanges.driftFactors, cells: 3, share: upwardShare },
    { range: [1 / drawnRanges.driftFactors[1], 1 / drawnRanges.driftFactors[0]], cells: 3, share: 1 - upwardShare }],
  bridge: [{ range: drawnRanges.shortOhms, cells: 1, share: 1 }],
  stray: [{ range: drawnRanges.strayOhms, cells: 2, share: 1 }],
} as const

/** Bells this wide, in steps between their middles, add up to an even density. */
const overlap = 0.56

/** The cells of one kind of fault, their shares adding up to 1. */
export const figuresOf = (kind: Cell['kind']): { figure: Figure | null; share: number }[] => {
  if (kind === 'open' || kind === 'reversed') return [{ figure: null, share: 1 }]
  return ranges[kind].flatMap(({ range, cells, share }) => {
    const [least, most] = [Math.log(range[0]), Math.log(range[1])]
    const step = (most - least) / cells
    return Array.from({ length: cells }, (_, at) => ({
      figure: { mean: least + (at + 0.5) * step, origin: least + (at + 0.5) * step, sd: cells === 1 ? step / Math.sqrt(12) : overlap * step, step, least, most }, share: share / cells,
    }))
  })
}

export const cellsOf = (sites: readonly SiteFaults[]): Cell[] => {
  const cells: Cell[] = []
  sites.forEach(({ ref, nets, states }, site) => {
    const total = states.reduce((sum, { weight }) => sum + weight, 0)
    for (const { kind, pin, weight } of states) {
      for (const { figure, share } of figuresOf(kind)) {
        cells.push({ index: cells.length, site, ref, pin, kind, nets, figure, share: share * weight / total })
      }
    }
  })
  return cells
}

/** The fault a cell stands for, with the logarithm of its figure. Null for stray leakage, which is nobody's fault. */
export const faultOf = (cell: Cell, figure: number): Fault | null => {
  const { ref, pin, kind, nets } = cell
  const value = Math.exp(figure)
  switch (kind) {
    case 'open': case 'reversed': return { ref, pin, kind }
    case 'short': case 'leaky': return { ref, pin, kind, ohms: value }
    case 'drifted': return { ref, pin, kind, factor: value }
    case 'bridge': return nets === null ? null : bridgeOf(nets, value)
    case 'stray': return null
  }
}

const bridgeOf = (nets: readonly [string, string], ohms: number): Fault => ({ kind: 'bridge', nets: [nets[0], nets[1]], ohms })
