/** What the worker is asked for, so that a value read elsewhere can be held against what a good board reads there. */
import { z } from 'zod'
import { boardType } from '../board/board-type'
import { partState } from '../board/part-state'
import { computedAt, type MadeLimits, type NoLimits } from '../circuit/computed-limits'
import { drivesOfRegister } from '../circuit/meter-drive'
import { meterFunction } from '../meter/reading'
import { meterSource, rangeAccuracy } from '../meter/register'
import type { Bench } from './bench'
import { boardStateOf } from './board-state'
import { elsewhereExpected, isVoltsElsewhere, readElsewhere } from './elsewhere'
import type { RunEventBody } from './event'
import { celsiusAt } from './limits-request'
import { canBeRead } from './off-its-pad'
import { onTestPoints, type MeasurePlanStep } from './plan'
import { stepState } from './state'

export const elsewhereRequest = z.strictObject({
  /** Another one: something the answer depends on has changed. */
  key: z.string(), step: z.string(), readOn: boardType, at: z.strictObject({ red: z.string(), black: z.string(), function: meterFunction }),
  sources: z.array(meterSource), ranges: z.array(rangeAccuracy), celsius: z.tuple([z.number(), z.number()]),
  /** As the board is now, or was when it was read. */
  state: z.array(partState),
})
export type ElsewhereRequest = z.infer<typeof elsewhereRequest>
export type ElsewhereAnswer = { key: string; step: string; celsius: [number, number]; expected: MadeLimits | NoLimits }

type Asking = Pick<Bench, 'run' | 'context' | 'asksSameMeter' | 'utcMs'>

/** The last of those asked for now or read with the present meter of which it is not known. */
const unknown = ({ run, context: { plan } }: Asking): MeasurePlanStep | undefined => plan.elsewhere?.findLast((step) => {
  const { id } = step
  const read = readElsewhere(stepState(run, id))
  return !isVoltsElsewhere(step) && (read === null ? run.cursor === id && canBeRead(plan, run, step) : read.seq > (run.otherMeterSince ?? 0)) && elsewhereExpected(run, id) === null
})

/** Null where nothing is to be computed, or it is not known which meter measures. */
export const elsewhereRequestOf = (bench: Asking): ElsewhereRequest | null => {
  const { run, context: { plan, meter: { register: { sources, ranges } }, kit }, asksSameMeter, utcMs } = bench
  if (run.ended !== null || run.meterLost || asksSameMeter) return null
  const step = unknown(bench)
  const points = step === undefined ? null : onTestPoints(step.placement)
  if (step === undefined || points === null) return null
  const at = { ...points, function: step.function }
  const [celsius, state] = [celsiusAt(kit, utcMs), boardStateOf(plan, run, readElsewhere(stepState(run, step.id))?.seq)]
  return { key: JSON.stringify([run.started.run, step.id, run.started.board.sha256, at, sources, ranges, celsius, state]), step: step.id, readOn: plan.board, at, sources, ranges, celsius, state }
}

/** Costs up to a second or two: for the worker. */
export const answerElsewhere = ({ key, step, readOn, at, celsius, state, ...register }: ElsewhereRequest): ElsewhereAnswer =>
  ({ key, step, celsius, expected: computedAt(readOn, at, { drives: drivesOfRegister(register), celsius, state }) })

/** Nothing where the answer is to another question. */
export const takeExpected = (bench: Asking, { key, step, celsius, expected }: ElsewhereAnswer): RunEventBody[] =>
  (elsewhereRequestOf(bench)?.key === key ? [{ kind: 'elsewhere-computed', step, celsius, expected }] : [])
