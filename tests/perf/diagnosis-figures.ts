/** diagnosis.*: the scores on hidden faults, their tables on standard error. next.*: how long it takes to say what to do next after a reading. */
import { probeAdaptively } from '../core/circuit/score/adaptive'
import { drawBoard } from '../core/circuit/score/drawn-board'
import { root } from '../bench-tools/running-app'
import { scoredBoards } from '../core/circuit/score/boards'
import { freshDiagnoser } from '../core/circuit/score/diagnoser'
import { scoredCount } from '../core/circuit/score/scored-count'
import { reliabilityTable, worstBin } from '../core/circuit/score/reliability'
import { figureLines, offenderLines, reliabilityLines, touchLines } from '../core/circuit/score/report'
import { type BoardScore, scoreSeeds, totalsOf, type Totals } from '../core/circuit/score/score'
import { inWords, scoringSeeds, tuningSeeds } from '../core/circuit/score/seeds'
import { twists } from '../core/circuit/score/twists'
import { percentile } from './percentile'

export type Figure = { name: string; value: number; unit: string }

const say = (lines: readonly string[]): void => { process.stderr.write(`${lines.join('\n')}\n`) }
const rounded = (value: number): number => Number(value.toPrecision(4))

const headline = (totals: Totals): Figure[] => [
  { name: 'diagnosis.boards', value: totals.boards, unit: 'boards' },
  { name: 'diagnosis.faulty_called_good_pct', value: rounded(totals.faultyCalledGoodPct), unit: '%' },
  { name: 'diagnosis.good_called_faulty_pct', value: rounded(totals.goodCalledFaultyPct), unit: '%' },
  { name: 'diagnosis.faulty_called_faulty_pct', value: rounded(totals.faultyCalledFaultyPct), unit: '%' },
  { name: 'diagnosis.good_called_good_pct', value: rounded(totals.goodCalledGoodPct), unit: '%' },
  { name: 'diagnosis.masked', value: totals.masked, unit: 'parts' },
  { name: 'diagnosis.masked_without_witness', value: totals.maskedWithoutWitness, unit: 'parts' },
  { name: 'diagnosis.exact_first_pct', value: rounded(totals.exactFirstPct), unit: '%' },
  { name: 'diagnosis.group_mean', value: rounded(totals.groupMean), unit: 'sets' },
  { name: 'diagnosis.touches_vs_part_by_part', value: rounded(totals.touchesVsPartByPart), unit: '1' },
  { name: 'diagnosis.touches_over_separating', value: rounded(totals.touchesOverSeparating), unit: 'touches' },
  { name: 'diagnosis.reliability_worst_bin', value: rounded(worstBin(reliabilityTable(totals.statements))), unit: 'SE' },
]

/** What a bench that differs from what the diagnosis is told costs, on the first boards, sixty at most: a meter that drives otherwise leaves many without an explanation, and each takes a minute and more. */
const losses = (boards: ReturnType<typeof scoredBoards>, seeds: readonly number[], plainScores: readonly BoardScore[]): void => {
  const first = seeds.slice(0, Math.min(60, Math.ceil(seeds.length / 5)))
  const before = totalsOf(plainScores.slice(0, first.length))
  say(['', `on the first ${first.length} boards, as stated:`, ...figureLines(before)])
  for (const twist of twists) {
    const totals = totalsOf(scoreSeeds(boards, first, () => freshDiagnoser(), () => 0, { twist }))
    say(['', `on the same boards, with ${twist.name}:`, ...figureLines(totals), `largest gap ${worstBin(reliabilityTable(totals.statements)).toFixed(1)} standard errors, before ${worstBin(reliabilityTable(before.statements)).toFixed(1)}`])
  }
}

/** `count` boards, drawn over all sample boards. */
export const diagnosisFigures = (seed: number, count = scoredCount): Figure[] => {
  const boards = scoredBoards(root)
  const seeds = scoringSeeds(seed, count)
  say([`scored on boards ${inWords(seeds)}; tuned on ${inWords(tuningSeeds(scoredCount))}`])
  const scores = scoreSeeds(boards, seeds, () => freshDiagnoser(), () => performance.now())
  const totals = totalsOf(scores)
  say([...figureLines(totals), '', 'probability of each part being faulty', ...reliabilityLines(totals.statements), '', 'probability of the top class',
    ...reliabilityLines(totals.classStatements), '', ...touchLines(scores), '', ...offenderLines(scores)])
  losses(boards, seeds, scores)
  return headline(totals)
}

/** Boards probed for the times of each sample board; each gives some ten readings. */
const timedBoards = 8

/** From a reading to what to take next, wall time, 95th percentile: of the slowest sample board, and of each. All of the circuit's work on the readings before is done by then. */
export const nextFigures = (seed: number): Figure[] => {
  const each = scoredBoards(root).map((board) => {
    const waits: number[] = []
    const now = (): number => performance.now()
    for (const one of scoringSeeds(seed, timedBoards)) probeAdaptively(drawBoard([board], one), freshDiagnoser({}, now, (ms) => { waits.push(ms) }), now)
    return { name: `next.p95_ms.${board.id}-${board.revision}`, value: rounded(percentile(waits, 0.95)), unit: 'ms' }
  })
  return [{ name: 'next.p95_ms', value: Math.max(...each.map(({ value }) => value)), unit: 'ms' }, ...each]
}
