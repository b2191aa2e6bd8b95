/** Bridges between neighbouring nets: looked for only where no set of faulty parts explains the readings. */
import type { BoardType } from '../../board/board-type'
import type { FaultClass, Next, PartReport, Placement } from '../diagnosis'
import { bridgeWeight } from '../fault-priors'
import { type Bridge, faultInWords } from '../faults'
import { neighbouringNets } from '../neighbours'
import type { Search } from './bases'
import { type Cell, cellsOf, faultOf, type SiteFaults } from './cells'
import type { Model } from './model'
import { type EffortSettings, effortInWords, effortOf, percentInWords } from './next-action'
import { type Effort, isUnexplained, searched } from './search'
import { perSet } from './set-prior'

/** Sites and cells to be numbered on after those of the parts. */
export type Bridges = { sites: SiteFaults[]; cells: Cell[] }

export const bridgesOf = (board: BoardType, sitesBefore: number, cellsBefore: number): Bridges => {
  const pairs = neighbouringNets(board)
  const sites = pairs.map((nets): SiteFaults => ({ ref: '', nets, weight: bridgeWeight / pairs.length, states: [{ kind: 'bridge', pin: null, weight: 1 }] }))
  return { sites, cells: cellsOf(sites).map((cell) => ({ ...cell, site: cell.site + sitesBefore, index: cell.index + cellsBefore })) }
}

export const bridgesIn = ({ bases: [top] }: Search): Bridge[] => top === undefined ? [] : top.hypothesis.cells.flatMap((cell, at) => {
  const fault = faultOf(cell, top.hypothesis.figures[at] ?? 0)
  return fault?.kind === 'bridge' ? [fault] : []
})

/** On top of a search that leaves a reading unexplained, in a `model` of its own that has the slots of the search's; null where no bridge explains it either, or one is not called for. */
export const searchedWithBridges = (search: Search, { sites: more, cells, model }: Bridges & { model: Model }, effort: Effort): Search | null => {
  const sites = [...search.sites, ...more]
  const bases = search.bases.map((base) => ({ ...base, extras: [], before: base.extras, odds: new Float64Array(sites.length) }))
  const found = searched({ ...search, model, sites, cells: [...search.cells, ...cells], worth: perSet(search.counts, sites.map(({ weight }) => weight)), bases }, effort)
  return isUnexplained(found) || bridgesIn(found).length === 0 ? null : found
}

/** A bridge is no surer than this until it was measured straight across its nets: what no part explains may be a reading of another place. Our choice. */
export const sureUnmeasured = 0.9
export const capped = (classes: readonly FaultClass[]): FaultClass[] => classes.map((one) => ({ ...one, probability: Math.min(one.probability, sureUnmeasured) }))
/** Nothing is said of the parts while what lies beside them is not sure. */
export const unsaid = (parts: readonly PartReport[]): PartReport[] => parts.map((part) => ({ ...part, report: 'unprobed', maskedBy: [], unmask: null, witness: null }))

/** Straight across the nets of a bridge, in resistance; null where one of them has no test point. */
export const acrossBridge = (board: BoardType, { nets: [a, b] }: Bridge): Placement | null => {
  const [red, black] = [a, b].map((net) => board.testPoints.find((point) => point.net === net))
  return red === undefined || black === undefined ? null : { red: red.id, black: black.id, function: 'resistance' }
}

export const measureAcross = (bridge: Bridge, placement: Placement, before: Placement | null, settings: EffortSettings): Next => {
  const bits = -(sureUnmeasured * Math.log2(sureUnmeasured) + (1 - sureUnmeasured) * Math.log2(1 - sureUnmeasured))
  const effort = effortOf(placement, before, 0, settings)
  return { action: { kind: 'measure', placement }, bits, effort,
    why: `Only if ${faultInWords(bridge)} is what was read explained: straight across, it reads no more than that, and until then it is no surer than ${percentInWords(sureUnmeasured)}; ${effortInWords(effort)}.` }
}

const named = ({ nets: [a, b] }: Bridge): string => `a bridge between ${a} and ${b}`

export const bridgeNote = (bridges: readonly Bridge[], isMeasured: boolean): string => {
  const words = bridges.map(named).join(' and ')
  return `No set of up to five faulty parts explains all these readings; ${words} does. ${isMeasured ? 'Look' : 'Measure straight across, and look'} between these nets for solder, a splash or residue; clean it off and measure again.`
}
