/** The touch model's figures as the bench script prints them. */
import { touchClasses, type TouchClass } from '../../fixtures/touches/touch'
import { scoreClass, totals, type Score } from '../core/touches/score'

export type Figure = { name: string; value: number; unit: string }

export const touchFiguresOf = (scores: ReadonlyMap<TouchClass, Score>): Figure[] => {
  const all = totals(scores)
  const each = [...scores].flatMap(([cls, score]) => [
    { name: `touch.${cls}.false`, value: score.false, unit: 'touches' },
    { name: `touch.${cls}.missed_pct`, value: score.missedPct, unit: '%' },
  ])
  return [{ name: 'touch.false', value: all.false, unit: 'touches' }, { name: 'touch.missed_pct', value: all.missedPct, unit: '%' }, ...each]
}

/** `each` touches of every class, undecidable ones included. 3,000 of each take about two minutes. */
export const touchFigures = (seed: number, each: number): Figure[] =>
  touchFiguresOf(new Map(touchClasses.map((cls) => [cls, scoreClass(cls, each, seed)])))
