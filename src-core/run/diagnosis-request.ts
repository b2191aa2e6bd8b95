/** What the worker is asked for, so that the run on the bench is diagnosed: the readings so far, and the steps still open. */
import { z } from 'zod'
import { boardType } from '../board/board-type'
import { sameState } from '../board/part-state'
import { boardWithLimits } from '../circuit/computed-limits'
import { legPlacements } from '../circuit/diagnose/lifted-legs'
import type { Placement } from '../circuit/diagnosis'
import { type ReadingsFile, readingsFile } from '../circuit/readings-file'
import type { Meter } from '../meter/instrument'
import { meterFunction } from '../meter/reading'
import { type FaultHistory, faultHistory } from '../shop/fault-history'
import { currentStep, type Bench } from './bench'
import { isBenchRun } from './bench-runs'
import { boardStateOf, foundAs } from './board-state'
import { readElsewhere } from './elsewhere'
import { measuresFarads } from './measure-elsewhere'
import { readingsOf } from './readings-of'
import { isPreparation, stepState } from './state'

export const diagnosisRequest = z.strictObject({
  /** Another one: something it depends on has changed. */
  key: z.string(),
  run: z.string(), after: z.number().int(),
  /** Of the board file: while it is the same, what was made ready holds. */
  sha256: z.string(), board: boardType, readings: readingsFile,
  /** Ids of the steps that may be taken next; null once the run has ended: any placement may be proposed. */
  open: z.array(z.string()).nullable(),
  /** Where parts with a leg lifted can be measured alone; missing: nowhere. */
  alone: z.array(z.strictObject({ red: z.string(), black: z.string(), function: meterFunction })).optional(),
  /** Which parts of this board type failed in this shop, and how many at once; null: nothing is known of it. */
  history: faultHistory.nullable(),
})
export type DiagnosisRequest = z.infer<typeof diagnosisRequest>

/** A function has one source in a readings file: it is given where the meter has one, of any range, with its limit known. */
export const sourcesOf = ({ register: { sources } }: Pick<Meter, 'register'>): NonNullable<ReadingsFile['sources']> => Object.fromEntries(
  (['resistance', 'continuity', 'diode'] as const).flatMap((what) => {
    const own = sources.filter((one) => one.function === what && one.volts > 0)
    const [only] = own
    if (only === undefined || own.length > 1) return []
    const { volts, ohms, amperes, plus } = only
    return [[what, { volts, ohms, amperes: amperes ?? volts / ohms, plus }]]
  }),
)

/** Steps of the sequence that are neither decided nor skipped. */
const openSteps = ({ context: { plan }, run }: Pick<Bench, 'context' | 'run'>): string[] =>
  plan.steps.flatMap(({ id, kind }) => { const own = stepState(run, id); return kind === 'measure' && own.decided === null && own.skipped === null ? [id] : [] })

/** With the board as the run found it: in another state no reading counts for the diagnosis. Empty once the run has ended: any placement may be proposed then. */
const aloneNow = ({ context, run }: Pick<Bench, 'context' | 'run'>): Placement[] => (run.ended !== null || !sameState(boardStateOf(context.plan, run), foundAs(run)) ? []
  : legPlacements(context.plan.board, foundAs(run), measuresFarads(context)).map(({ placement }) => placement))

/** A step that failed or stayed doubtful is explained, and who measures elsewhere or lifted a leg asks; on a board where all is well there is nothing to explain. */
const asksForReasons = ({ context: { plan }, run }: Pick<Bench, 'context' | 'run'>): boolean => plan.steps.some(({ id }) => {
  const verdict = stepState(run, id).decided?.verdict
  return verdict === 'fail' || verdict === 'conditional-fail' || verdict === 'doubtful'
}) || (plan.elsewhere ?? []).some(({ id }) => readElsewhere(stepState(run, id)) !== null)

/** What one run is told of those before it stays the same to its end. */
export type HistoryOf = (run: Bench['run']) => FaultHistory | null

/** Null where there is nothing to reason about: a run about the meter, one still being prepared, or one without a fault whose order is fixed. */
export const diagnosisRequestOf = (bench: Pick<Bench, 'context' | 'run' | 'utcMs'>, historyOf: HistoryOf = () => null): DiagnosisRequest | null => {
  const { context: { plan, meter }, run } = bench
  if (isBenchRun(run.started.board.id)) return null
  const file = readingsOf(run, plan)
  const step = currentStep(bench)
  if (file.readings.length === 0 && (step === null || isPreparation(step.id))) return null
  const alone = aloneNow(bench)
  if (run.started.order !== 'tells-most' && alone.length === 0 && !asksForReasons(bench)) return null
  const sources = sourcesOf(meter)
  const readings = Object.keys(sources).length === 0 ? file : { ...file, sources }
  const open = run.ended === null ? openSteps(bench) : null
  const history = historyOf(run)
  return {
    key: JSON.stringify([run.started.run, readings.readings, readings.sources ?? null, readings.state, open, history, ...(alone.length === 0 ? [] : [alone])]), run: run.started.run, after: run.events.at(-1)?.seq ?? 1,
    sha256: run.started.board.sha256, board: boardWithLimits(plan.board, run.limits?.steps ?? {}), readings, open, ...(alone.length === 0 ? {} : { alone }), history,
  }
}

/** Fewer readings of the same run than there are by now: what was concluded from them still stands for those. */
export const stillHolds = (answered: DiagnosisRequest, now: DiagnosisRequest | null): boolean => {
  const readings = new Set((now?.readings.readings ?? []).map((reading) => JSON.stringify(reading)))
  return now?.run === answered.run && answered.readings.readings.every((reading) => readings.has(JSON.stringify(reading)))
}
