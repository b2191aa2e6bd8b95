/** The sites of a board at which a diagnosis looks for faults, with their weights, and where its nets may leak. */
import type { BoardType } from '../../board/board-type'
import type { PartKind } from '../../board/part'
import { drawnRanges, faultPriors, placesFor } from '../fault-priors'
import type { FaultKind } from '../faults'
import { neighbouringNets } from '../neighbours'
import type { BoardState } from '../network'
import { type Cell, cellsOf, figuresOf, type SiteFaults, type SiteState } from './cells'

/**
 * Faults that no reading of a board shows, and that are therefore not drawn for practice: a protector that burnt open, a capacitor that lost its
 * capacitance. They keep a diagnosis from calling such a part good. Common practice, no source.
 */
const hidden: Partial<Record<PartKind, { kind: FaultKind; weight: number }[]>> = {
  capacitor: [{ kind: 'open', weight: 0.5 }],
  'two-way-protector': [{ kind: 'open', weight: 1 }], varistor: [{ kind: 'open', weight: 1 }],
  'gas-tube': [{ kind: 'open', weight: 0.2 }], 'thyristor-protector': [{ kind: 'open', weight: 0.5 }],
}

/** Where capacitance is measured as well: electrolyte that dried out. Common practice, no source. */
const driftedCapacitor = { kind: 'drifted', weight: 0.5 } as const

/**
 * `factor` multiplies a part's weight; one below 1 leaves its hidden faults as likely as usual: that none was found where none can be seen says nothing.
 * `capacitance`: whether it is measured.
 */
export const sitesOf = (board: BoardType, state: BoardState, factor: (ref: string) => number = () => 1, capacitance = false): SiteFaults[] => {
  const removed = new Set(state.flatMap(({ ref, is }) => (is === 'removed' ? [ref] : [])))
  return board.parts.filter(({ ref }) => !removed.has(ref)).flatMap((part): SiteFaults[] => {
    const own = factor(part.ref)
    const unseen = (hidden[part.kind] ?? []).filter(({ kind }) => !faultPriors[part.kind].some((one) => one.kind === kind))
    const kinds = [...faultPriors[part.kind].map((one) => ({ ...one, times: own })), ...unseen.map((one) => ({ ...one, times: Math.max(1, own) })),
      ...(capacitance && part.kind === 'capacitor' ? [{ ...driftedCapacitor, times: own }] : [])]
    const states = kinds.flatMap(({ kind, weight, times }): SiteState[] => {
      const places = placesFor(part, kind)
      return places.map((pin) => ({ kind, pin, weight: weight / places.length * times }))
    })
    const weight = states.reduce((sum, one) => sum + one.weight, 0)
    return weight > 0 ? [{ ref: part.ref, nets: null, weight, states }] : []
  })
}

/** Leaks of the board itself between neighbouring nets, numbered on after `cells`; of no site. */
export const straysOf = (board: BoardType, cells: readonly Cell[]): Cell[] => {
  const pairs = neighbouringNets(board)
  return pairs.flatMap((nets) => figuresOf('stray').map(({ figure, share }) => ({ nets, figure, share })))
    .map(({ nets, figure, share }, at): Cell => ({ index: cells.length + at, site: -1, ref: '', pin: null, kind: 'stray', nets, figure, share: share / pairs.length }))
}

export const strayOdds = drawnRanges.strayShare / (1 - drawnRanges.strayShare)

export const allCells = (board: BoardType, sites: readonly SiteFaults[]): Cell[] => {
  const cells = cellsOf(sites)
  return [...cells, ...straysOf(board, cells)]
}
