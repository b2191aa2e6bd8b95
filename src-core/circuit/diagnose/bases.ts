/** A set of faults that the readings call for, and what may hide beside it. */
import type { Cell, SiteFaults } from './cells'
import { type Hypothesis, logOf, type Solved, type Taken } from './hypothesis'
import type { Model } from './model'
import type { CountPrior } from './set-prior'

/** One more fault on a base: what it changes (null: nothing that is seen), and the ratio of the readings' densities with and without it. */
export type Extra = { cell: Cell; sights: (Solved | null)[]; refined: Hypothesis | null; log: number; seen: boolean }

export type Base = {
  key: string
  hypothesis: Hypothesis
  /** Logarithm of the readings' density times the product of the sites' weights and the cells' shares. */
  log: number
  /** Per cell of the board; null for those of sites the base has faults at. Empty: not looked at. */
  extras: (Extra | null)[]
  /** Those of the point it has moved from. */
  before: readonly (Extra | null)[]
  /** Of all bases, with all that may hide beside it. */
  probability: number
  /** Odds of each site being faulty beside it. */
  odds: Float64Array
}

export type Search = {
  model: Model
  sites: readonly SiteFaults[]; cells: readonly Cell[]
  counts: CountPrior; worth: Float64Array
  /** Odds of each pair of nets that may leak without being anybody's fault: as cells of kind 'stray', after the others. */
  strayOdds: number
  taken: Taken[]
  bases: Base[]
}

/** A fault that the readings call for makes them this many times likelier; less, and it hides beside the base. */
const calledFor = 3
export const logCalledFor = Math.log(calledFor)

/** Logarithm of a cell's weight: of its site, or of leaks of the board, times its share. */
export const logShareOf = ({ sites, strayOdds }: Search, cell: Cell | null): number =>
  (cell === null ? 0 : Math.log(cell.kind === 'stray' ? strayOdds : sites[cell.site]?.weight ?? 0) + Math.log(cell.share))

const keyOf = (cells: readonly Cell[], figures: ArrayLike<number>): string =>
  cells.map((cell, at) => `${cell.site}.${cell.pin ?? ''}.${cell.kind}.${cell.nets?.join('/') ?? ''}.${Math.round((figures[at] ?? 0) / 0.3)}`).sort().join(' ')

export const logOfBase = (search: Search, hypothesis: Hypothesis): number =>
  logOf(hypothesis, search.model.slots.unknowns.length) + hypothesis.cells.reduce((sum, cell) => sum + logShareOf(search, cell), 0)

export const baseOf = (search: Search, hypothesis: Hypothesis): Base => ({
  key: keyOf(hypothesis.cells, hypothesis.figures), hypothesis, log: logOfBase(search, hypothesis), extras: [], before: [], probability: 0,
  odds: new Float64Array(search.sites.length),
})

/** Whether two cells are of one place and kind. */
export const same = (one: Cell, other: Cell): boolean =>
  one.site === other.site && one.pin === other.pin && one.kind === other.kind && one.nets?.join() === other.nets?.join()

/** How many of a hypothesis' cells are faults of a part. */
export const faultsIn = ({ cells }: Hypothesis): number => cells.filter(({ kind }) => kind !== 'stray').length
