/** How far the parts of a good board lie from their usual figures, and boards drawn from that. */
import type { BoardType, Part } from '../board/board-type'
import { toleranceOf } from './part-parameters'
import { type Factors, figuresOf } from './part-pieces'
import type { Random } from './seeded-random'

/** Factors by key (see `spreadsOf`); what is not named lies at its usual figure. */
export type Spread = Readonly<Record<string, number>>

/** `even`: from 1 − width to 1 + width, evenly; `log-even`: from 1/width to width, evenly in the logarithm. */
export type SpreadKey = { key: string; ref: string; law: 'even' | 'log-even'; width: number }

const breakdowns: readonly Part['kind'][] = ['zener', 'tvs']
/** Its value is a breakdown. */
const breakdownIsValue: readonly Part['kind'][] = ['two-way-protector', 'varistor', 'thyristor-protector']

/** The keys under which a part varies: its designator, and a second one where two things vary on their own. */
const keysOf = (part: Part): SpreadKey[] => {
  const tolerance = toleranceOf(part)
  const figures = figuresOf(part)
  const value: SpreadKey = { key: part.ref, ref: part.ref, law: 'even', width: tolerance }
  if (figures === null) return tolerance === 0 ? [] : [value]
  const junctions: SpreadKey = { key: part.kind === 'ic' ? `${part.ref}.clamps` : part.ref, ref: part.ref, law: 'log-even', width: figures.spread }
  if (part.kind === 'ic') return tolerance === 0 ? [junctions] : [value, junctions]
  return breakdowns.includes(part.kind) ? [junctions, { ...value, key: `${part.ref}.breakdown` }] : [junctions]
}

/**
 * What varies on a good board, each on its own: under a part's designator its value (resistances, capacitance, breakdown of a two-way protector), or
 * the saturation current of a part that is all junctions; under "U1.clamps" that of an IC's clamp diodes; under "D2.breakdown" the breakdown of a
 * Zener or one-way suppressor.
 */
export const spreadsOf = (board: BoardType): SpreadKey[] => board.parts.flatMap(keysOf)

export const factorsOf = (part: Part, spread: Spread): Factors => {
  const own = spread[part.ref] ?? 1
  if (part.kind === 'ic') return { value: own, junctions: spread[`${part.ref}.clamps`] ?? 1, breakdown: 1 }
  if (breakdownIsValue.includes(part.kind)) return { value: 1, junctions: 1, breakdown: own }
  return figuresOf(part) === null ? { value: own, junctions: 1, breakdown: 1 }
    : { value: 1, junctions: own, breakdown: spread[`${part.ref}.breakdown`] ?? 1 }
}

/** Draws every part inside its spread. `random` gives numbers in [0, 1). */
export const drawSpread = (board: BoardType, random: Random): Spread => Object.fromEntries(spreadsOf(board).map(({ key, law, width }) => {
  const at = 2 * random() - 1
  return [key, law === 'even' ? 1 + width * at : Math.pow(width, at)]
}))
