/**
 * Whether a part that is called masked really is: a search, of the scorer's own, for a state of the board in which that part is good where
 * it is faulty, or faulty where it is good, and which reads within 3 u of the true state at every allowed placement.
 */
import type { Fault } from '../../../../src-core/circuit/faults'
import { closeFigures } from '../../../../src-core/circuit/usual-faults'
import type { DrawnBoard } from './drawn-board'
import { hiddenFaults } from './possible-faults'
import { disagreement, stateReader } from './state-readings'

/** Placements on the parts' own nets first: they are where another state shows, if anywhere. */
const orderFor = (drawn: DrawnBoard, refs: readonly string[]): number[] => {
  const nets = new Set(drawn.board.parts.filter(({ ref }) => refs.includes(ref)).flatMap(({ pins }) => Object.values(pins)))
  const [both, one, none]: number[][] = [[], [], []]
  drawn.placements.forEach(({ redNet, blackNet }, index) => {
    const touching = Number(nets.has(redNet)) + Number(nets.has(blackNet))
    ;(touching === 2 ? both : touching === 1 ? one : none)?.push(index)
  })
  return [...both ?? [], ...one ?? [], ...none ?? []]
}

/** Whether a board with these faults reads as the drawn one does; `order` is a hint where they would differ. */
export const readsAlike = (drawn: DrawnBoard, faults: readonly Fault[], order?: readonly number[]): boolean =>
  disagreement(stateReader(drawn.board, faults, drawn.circumstances), drawn.truth, drawn.placements, drawn.meter, drawn.circumstances.drives, order) === null

export type Witness = { faults: Fault[] }

/**
 * Tried in turn: the part alone changed; then, where it is faulty, its fault taken off and one of another part put on; where it is good, a
 * fault put on and one of the true faults taken off. Figures are those of `closeFigures` and those drawn, so a witness in between two of
 * them can be missed: a part counted as without a witness may have one, never the reverse.
 */
export const findWitness = (drawn: DrawnBoard, ref: string, singles = hiddenFaults(drawn.board, closeFigures)): Witness | null => {
  const own = drawn.faults.filter((fault) => fault.ref === ref)
  const rest = drawn.faults.filter((fault) => fault.ref !== ref)
  const found = (faults: Fault[], order: readonly number[]): Witness | null => (readsAlike(drawn, faults, order) ? { faults } : null)
  const ownOrder = orderFor(drawn, [ref])
  if (own.length > 0) {
    const alone = found(rest, ownOrder)
    if (alone !== null) return alone
    const figures = own.flatMap((fault) => ('ohms' in fault ? [fault.ohms] : []))
    const others = drawn.board.parts.map((part) => part.ref).filter((other) => other !== ref)
    for (const other of others) {
      const order = orderFor(drawn, [ref, other])
      const left = rest.filter((fault) => fault.ref !== other)
      const faults = singles.filter((fault) => fault.ref === other)
      const drawnFigures = faults.flatMap((fault) => ('ohms' in fault ? figures.map((ohms) => ({ ...fault, ohms })) : []))
      for (const fault of [...drawnFigures, ...faults]) {
        const swapped = found([...left, fault], order)
        if (swapped !== null) return swapped
      }
    }
    return null
  }
  const states = singles.filter((fault) => fault.ref === ref)
  for (const fault of states) {
    const alone = found([...drawn.faults, fault], ownOrder)
    if (alone !== null) return alone
  }
  for (const dropped of drawn.faults) {
    const order = orderFor(drawn, [ref, dropped.ref])
    const left = drawn.faults.filter((fault) => fault !== dropped)
    const same = 'ohms' in dropped ? states.flatMap((fault) => ('ohms' in fault ? [{ ...fault, ohms: dropped.ohms }] : [])) : []
    for (const fault of [...same, ...states]) {
      const swapped = found([...left, fault], order)
      if (swapped !== null) return swapped
    }
  }
  return null
}
