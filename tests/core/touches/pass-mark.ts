/** The pass mark of the touch model, one for the sample in `npm test` and for the full counts, and the table both print. */
import { carefulClasses, carelessClasses, undecidableClasses, type TouchClass } from '../../../fixtures/touches/touch'
import { totals, type Score } from './score'

/** Chance that `most + 1` or more of `count` touches are missed where one in a hundred is (binomial). */
const chanceOfMore = (most: number, count: number): number => {
  let term = 0.99 ** count
  let atMost = 0
  for (let k = 0; k <= most; k++) {
    atMost += term
    term *= ((count - k) / (k + 1)) * (0.01 / 0.99)
  }
  return 1 - atMost
}

/**
 * What falls short: any false value in a careful or careless class; 1 % or more missed of all careful touches; and of one careful class,
 * 1 % or more of a thousand touches or over. A class of fewer falls short where so many misses have a chance under 1 % at a true 1 %.
 */
export const shortfalls = (scores: ReadonlyMap<TouchClass, Score>): string[] => {
  const falsely = [...carefulClasses, ...carelessClasses].flatMap((cls) => {
    const score = scores.get(cls)
    return score === undefined ? [`${cls}: not played`] : score.false > 0 ? [`${cls}: ${score.false} false of ${score.touches}`] : []
  })
  const missed = carefulClasses.flatMap((cls) => {
    const score = scores.get(cls)
    if (score === undefined) return []
    const toomany = score.touches >= 1000 ? score.missedPct >= 1 : score.missed > 0 && chanceOfMore(score.missed - 1, score.touches) < 0.01
    return toomany ? [`${cls}: ${score.missed} missed of ${score.touches}`] : []
  })
  const all = totals(scores).missedPct
  return [...falsely, ...missed, ...(all < 1 ? [] : [`careful: ${all.toFixed(2)} % missed`])]
}

export const tableOf = (scores: ReadonlyMap<TouchClass, Score>, seed: number): string => {
  const line = (cls: TouchClass) => {
    const score = scores.get(cls)
    return score === undefined ? `  ${cls}: not played`
      : `  ${cls.padEnd(12)} ${String(score.touches).padStart(6)} ${String(score.captured).padStart(9)} ${String(score.false).padStart(6)} ` +
        `${String(score.missed).padStart(7)} ${score.missedPct.toFixed(2).padStart(8)}`
  }
  const all = totals(scores)
  return [
    `touch model, seed ${seed}`, `  class       touches  captured  false  missed  missed %`,
    'careful', ...carefulClasses.map(line), 'careless', ...carelessClasses.map(line),
    'undecidable here: no target', ...undecidableClasses.map(line),
    `false in careful and careless: ${all.false}; missed of careful: ${all.missedPct.toFixed(3)} %`, '',
  ].join('\n')
}
