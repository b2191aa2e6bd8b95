/** A value typed in, with no meter connected: judged as a captured one is, and named as typed for good. */
import { CHARGED_COUNTS } from '../capture/figures'
import { leadToTakeOff } from '../capture/captured-value'
import { tooCoarse } from '../capture/ranging'
import type { CapturedValue } from '../capture/task'
import { isReadByEye } from '../meter/by-eye'
import { unitOf, type MeterFunction } from '../meter/reading'
import { limitsInWords } from '../metrology/limits-in-words'
import { inWords } from '../quantity/engineering'
import { typedValue, type TypedValue } from '../quantity/typed-value'
import { seconds, type Seconds } from '../quantity/units'
import { captureTask, currentStep, notBefore, nextTouch, type Bench } from './bench'
import { computedOnBench } from './computed-words'
import { boardIsCharged, quiet, refuse, withPatch, type Conducted } from './conducted'
import { decideStep, lastSeq } from './decide-step'
import type { CapturedBody } from './event'
import { airIsNoMeasurement, airOf, learn, startLearning, withPattern } from './learn-air'
import { hasLimits, type JudgedStep, type MeasurePlanStep } from './plan'
import { tooCoarseReason } from './reasons'
import { takeValue } from './take-value'
import type { MeterPatch } from './taught'
import { dialWords } from './words'

/** Below −3 counts, or out of range below zero, in a function that feeds its own current (capture.md, rule 13). */
const showsCharge = (step: MeasurePlanStep, { value, resolution }: TypedValue): boolean => {
  if ('fixture' in step.placement || !['resistance', 'continuity', 'diode'].includes(step.function)) return false
  return value === 'negative-overload' || (typeof value === 'number' && value < -CHARGED_COUNTS * (resolution ?? 0) * (1 + 1e-9))
}

/** More than any meter shows in that function, SI (common practice, no source): a prefix typed by mistake. */
const mostShown: Record<MeterFunction, number> = {
  'dc-voltage': 5000, 'ac-voltage': 5000, resistance: 1e11, continuity: 1e5, diode: 50, capacitance: 10, inductance: 1e5, frequency: 1e11,
  temperature: 5000, 'dc-current': 5000, 'ac-current': 5000,
}

const asCaptured = (bench: Bench, step: JudgedStep, { value, resolution }: TypedValue, at: Seconds): CapturedValue => {
  const less = typeof value === 'number' ? value - leadToTakeOff(captureTask(bench, step), value, resolution) : value
  return {
    function: step.function, unit: unitOf[step.function], range: null, resolution, value: less, shown: value,
    median: typeof less === 'number' ? less : null, sd: null, conversions: 1, seconds: seconds(0), band: null, raw: [], evidence: 'typed', at,
  }
}

const digitsMissing = (step: JudgedStep, resolution: number): string => {
  const unit = unitOf[step.function]
  return `Type every digit the meter shows: one count of ${inWords(resolution, unit, resolution)} is too coarse for ${limitsInWords(step.limits, unit)}. If it shows no more, skip the step: ${tooCoarseReason}.`
}

/** What open leads show, kept for the runs that follow on this bench (capture.md, rule 2). */
const takeTypedAir = (bench: Bench, step: MeasurePlanStep, { value, resolution }: TypedValue, at: Seconds): Conducted => {
  const unit = unitOf[step.function]
  const learning = learn(startLearning(step.function, at), { at, function: step.function, value, unit, resolution, range: null, flags: [], raw: '' })
  const pattern = airOf(learning)
  if (pattern === null) return refuse(bench, 'That is not what leads show that touch nothing. Hold them apart and type it again.')
  const finite = typeof value === 'number' ? value : null
  const touch: CapturedBody = {
    kind: 'captured', step: step.id, touch: 1, function: step.function, range: null, resolution, unit, value: finite ?? 'overload', median: finite, sd: null,
    conversions: 1, seconds: 0, raw: [], uncertainty: null, ...(finite === null ? {} : { noBudget: airIsNoMeasurement }), limits: 'open', rule: bench.context.rule, verdict: 'pass', evidence: 'typed',
  }
  const learned: MeterPatch = { air: withPattern(bench.context.meter.air, pattern) }
  const patched = withPatch({ ...bench, lastContact: at }, learned)
  return { bench: patched, events: [touch, ...decideStep(patched, [touch], step, 'pass', [lastSeq(bench.run) + 1], touch.value)], tones: ['pass'], learned, refused: null }
}

const watchNeedsMeter = 'An eye cannot follow a value this fast: connect a meter for this step, or skip it.'

export type Typed = { text: string; step: string; touch: number }

export const onTyped = (bench: Bench, { text, step: id, touch }: Typed, at: Seconds): Conducted => {
  if (bench.record || bench.run.status === 'ended') return refuse(bench, 'The run has ended.')
  if (bench.run.status === 'paused') return refuse(bench, 'The run is paused. Resume it first.')
  if (!isReadByEye(bench.context.meter)) return refuse(bench, 'This run reads its meter. Values are typed only with no meter connected.')
  const step = currentStep(bench)
  if (step === null || step.kind !== 'measure') return refuse(bench, 'Nothing is measured in this step.')
  if (step.purpose?.kind === 'watch') return refuse(bench, watchNeedsMeter)
  if (bench.run.meterLost) return refuse(bench, 'The meter is away. Press T to go on without it.')
  if (step.id !== id || touch !== nextTouch(bench.run, step.id)) {
    return refuse(bench, `“${text.trim()}” was typed for a touch that has its value already. Nothing was recorded for ${step.title}.`)
  }
  const waits = notBefore(bench, step)
  if (waits !== null && at < waits) return refuse(bench, `Wait ${Math.ceil(waits - at)} s more: a store can charge itself again.`)
  const typed = typedValue(text, unitOf[step.function])
  if ('problem' in typed) return refuse(bench, typed.problem)
  if (typeof typed.value === 'number' && Math.abs(typed.value) > mostShown[step.function]) {
    return refuse(bench, `No meter shows ${inWords(typed.value, unitOf[step.function], typed.resolution)} in ${dialWords[step.function]}. Look at the prefix and type it again.`)
  }
  if (step.purpose?.kind === 'learn-air') return takeTypedAir(bench, step, typed, at)
  if (showsCharge(step, typed)) return { ...quiet(bench), events: [boardIsCharged], tones: ['wrong-function'] }
  if (!hasLimits(step)) return refuse(bench, computedOnBench(step))
  const task = captureTask(bench, step)
  if (typeof typed.value === 'number' && typed.resolution !== null && tooCoarse(typed.value, typed.resolution, task)) {
    return refuse(bench, digitsMissing(step, typed.resolution))
  }
  return takeValue({ ...bench, lastContact: at }, step, asCaptured(bench, step, typed, at))
}
