/** What the worker is asked for, so that the steps without limits of their own have some: the board, and what drives the tips. */
import { z } from 'zod'
import { boardType, type BoardType } from '../board/board-type'
import { partState, type PartState } from '../board/part-state'
import { asksMeter, computedLimits, type ComputedLimits } from '../circuit/computed-limits'
import { usualCelsius } from '../circuit/good-limits'
import { drivesOfRegister } from '../circuit/meter-drive'
import type { BenchKit, Meter } from '../meter/instrument'
import { meterSource, rangeAccuracy } from '../meter/register'
import { airAt } from '../meter/surroundings'
import type { Bench } from './bench'
import { foundAs } from './board-state'
import { isBenchRun } from './bench-runs'
import type { RunEventBody } from './event'
import { withKnownGood } from './known-good'
import { sequenceKey } from './question-key'

export const limitsRequest = z.strictObject({
  /** Another one: something the limits depend on has changed. */
  key: z.string(), limitsOf: boardType, sources: z.array(meterSource), ranges: z.array(rangeAccuracy), celsius: z.tuple([z.number(), z.number()]),
  /** As the board is before its first step; missing: as the file has it. */
  found: z.array(partState).optional(),
})
export type LimitsRequest = z.infer<typeof limitsRequest>
export type LimitsAnswer = { key: string; celsius: [number, number]; steps: Record<string, ComputedLimits> }

/** The usual temperatures of a bench, and the stated one where it lies outside them. */
export const celsiusAt = (kit: BenchKit, utcMs: number): [number, number] => {
  const { celsius } = airAt(kit.air, utcMs)
  return celsius === null ? [...usualCelsius] : [Math.min(usualCelsius[0], celsius), Math.max(usualCelsius[1], celsius)]
}

type Circumstances = { sha256: string; found?: readonly PartState[]; meter: Pick<Meter, 'register'>; kit: BenchKit; utcMs: number }

/** Null for a board whose steps all have limits in its file that hold for any meter. `sha256`: of that file. */
export const limitsRequestFor = (board: BoardType, { sha256, found = [], meter: { register: { sources, ranges } }, kit, utcMs }: Circumstances): LimitsRequest | null => {
  if (!board.sequence.steps.some(asksMeter)) return null
  const celsius = celsiusAt(kit, utcMs)
  return {
    key: JSON.stringify([sha256, sources, ranges, celsius, found, sequenceKey(board)]), limitsOf: board, sources, ranges, celsius,
    ...(found.length === 0 ? {} : { found: [...found] }),
  }
}

/** Null where nothing is to be computed: every step has its limits, or it is not known which meter measures. */
export const limitsRequestOf = ({ run, context: { plan: { board }, meter, kit }, asksSameMeter, utcMs }: Pick<Bench, 'run' | 'context' | 'asksSameMeter' | 'utcMs'>): LimitsRequest | null =>
  (run.limits !== null || run.ended !== null || run.meterLost || asksSameMeter || isBenchRun(board.id) ? null
    : limitsRequestFor(board, { sha256: run.started.board.sha256, found: foundAs(run), meter, kit, utcMs }))

/** Costs up to a second or two: for the worker. */
export const answerLimits = ({ key, limitsOf, celsius, found = [], ...register }: LimitsRequest): LimitsAnswer =>
  ({ key, celsius, steps: computedLimits(limitsOf, { drives: drivesOfRegister(register), celsius, state: found }) })

/** Fixed in the run from here on. Nothing where the answer is to another question. */
export const takeLimits = (bench: Parameters<typeof limitsRequestOf>[0], { key, celsius, steps }: LimitsAnswer): RunEventBody[] =>
  (limitsRequestOf(bench)?.key === key ? [{ kind: 'limits-computed', celsius, steps: withKnownGood(steps, bench.run.started.good) }] : [])
