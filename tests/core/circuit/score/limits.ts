/** The limits a diagnosis keeps on hidden faults (circuit.md, “Scoring” and “Touches”), held over any number of drawn boards. */
import { fileURLToPath } from 'node:url'
import { expect } from 'vitest'
import { scoredBoards } from './boards'
import { freshDiagnoser } from './diagnoser'
import { figureLines, offenderLines } from './report'
import { scoreSeeds, totalsOf } from './score'
import { inWords } from './seeds'

/** Draws, probes and diagnoses these boards, prints the figures, and holds them against the limits. */
export const expectLimits = (seeds: readonly number[]): void => {
  const scores = scoreSeeds(scoredBoards(fileURLToPath(new URL('../../../..', import.meta.url))), seeds, () => freshDiagnoser(), () => 0)
  const totals = totalsOf(scores)
  console.log([`hidden faults, ${seeds.length} boards of ${inWords(seeds)}`, ...figureLines(totals), ...offenderLines(scores)].join('\n'))
  expect(scores.map(({ ended }) => ended)).not.toContain('asked for what is not allowed')
  expect(totals.boards).toBe(seeds.length)
  expect(totals.faultyCalledGoodPct).toBeLessThanOrEqual(0.5)
  expect(totals.goodCalledFaultyPct).toBeLessThanOrEqual(2)
  expect(totals.maskedWithoutWitness).toBe(0)
  expect(totals.touchesVsPartByPart).toBeLessThanOrEqual(0.5)
  expect(totals.touchesOverSeparating).toBeLessThanOrEqual(2)
}
