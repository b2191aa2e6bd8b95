/** The scores in lines a person reads: figures, the reliability table, touches by number of faults, and the boards that went wrong. */
import { median, type BoardScore, type Totals } from './score'
import { totalOf } from './baselines'
import { reliabilityTable, type Statement } from './reliability'

const fixed = (value: number, digits = 2): string => value.toFixed(digits)

export const figureLines = (totals: Totals): string[] => [
  `boards ${totals.boards}`,
  `faulty called good ${fixed(totals.faultyCalledGoodPct)} % of faulty parts; called faulty ${fixed(totals.faultyCalledFaultyPct)} %, the rest masked or unprobed`,
  `good called faulty ${fixed(totals.goodCalledFaultyPct)} % of good parts; called good ${fixed(totals.goodCalledGoodPct)} %`,
  `masked ${totals.masked}, of them without a witness ${totals.maskedWithoutWitness}`,
  `exact first ${fixed(totals.exactFirstPct, 1)} % (listed by part, pin and kind: ${fixed(totals.listedFirstPct, 1)} %); mean group ${fixed(totals.groupMean)}`,
  `touches: median ${fixed(totals.touchesVsPartByPart)} of part by part; ${fixed(totals.touchesOverSeparating, 1)} over the separating set`,
]

export const reliabilityLines = (statements: readonly Statement[]): string[] => ['stated from  to     mean   true   95 % interval  count  gap in standard errors',
  ...reliabilityTable(statements).map(({ from, to, stated, observed, interval: [lo, hi], count, gap }) =>
    `${fixed(from, 4)}  ${fixed(to, 4)}  ${fixed(stated, 4)}  ${fixed(observed, 4)}  ${fixed(lo, 4)}–${fixed(hi, 4)}  ${String(count).padStart(6)}  ${fixed(gap, 1)}`)]

/** Medians, each of touches + confirmations + turns of the dial. */
export const touchLines = (scores: readonly BoardScore[]): string[] => {
  const row = (name: string, of: readonly BoardScore[]): string => {
    const mid = (value: (score: BoardScore) => number): string => fixed(median(of.map(value)), 1).padStart(6)
    const { length } = of
    return `${name.padEnd(18)} ${String(length).padStart(5)} ${mid(({ effort }) => totalOf(effort))} ${mid(({ effort }) => effort.touches)} ${mid(({ effort }) => effort.confirmations)} ${mid(({ effort }) => effort.dialTurns)}`
      + ` ${mid(({ baselines }) => totalOf(baselines.partByPart))} ${mid(({ baselines }) => totalOf(baselines.detecting))} ${mid(({ baselines }) => totalOf(baselines.separating))}`
      + ` ${mid(({ effort, baselines }) => totalOf(effort) / totalOf(baselines.partByPart))} ${mid(({ effort, baselines }) => totalOf(effort) - totalOf(baselines.separating))}`
  }
  const by = [...new Set(scores.map(({ faults }) => faults.length))].sort((a, b) => a - b)
  const boards = [...new Set(scores.map(({ board }) => board))].sort()
  return ['                    boards  adaptive: all, touches, confirmed, dial; baselines: part by part, detecting, separating; share of the first, over the third',
    ...by.map((count) => row(`${count} fault${count === 1 ? '' : 's'}`, scores.filter(({ faults }) => faults.length === count))),
    ...boards.map((board) => row(board.slice(0, 18), scores.filter((score) => score.board === board))), row('all', scores)]
}

/** Every board with a wrong call first, then those whose top class is another, the surest first. */
export const offenderLines = (scores: readonly BoardScore[], most = 40): string[] => {
  const line = (score: BoardScore): string => `seed ${score.seed} ${score.board}: ${score.faults.join(' ')}${score.strays ? ' (stray leak)' : ''}${score.missed > 0 ? ` (${score.missed} missed)` : ''}; `
    + `${score.exact}, top ${fixed(score.topProbability, 3)} of ${score.groupSize}, ${score.ended} after ${score.effort.touches}; ${score.wrong.map(({ ref, what, probability }) => `${ref} ${what} (${fixed(probability, 4)})`).join(', ')}`
  const called = scores.filter(({ wrong }) => wrong.length > 0)
  const other = scores.filter(({ wrong, exact }) => wrong.length === 0 && exact === 'other').sort((a, b) => b.topProbability - a.topProbability)
  return [...called, ...other].slice(0, most).map(line)
}
