/** Conducts a run: takes a reading, a press or a tick, and says which events happened. The service stores them, then absorbs. */
import { capture } from '../capture/capture'
import type { CaptureOutput } from '../capture/task'
import { isReadByEye } from '../meter/by-eye'
import type { Meter } from '../meter/instrument'
import { blankRegisterEntry } from '../meter/register'
import type { Reading } from '../meter/reading'
import { noScatter } from '../metrology/scatter'
import { unitOf } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import { isSetByApp } from './asked-of-meter'
import { currentStep, proofBegun, settle, touchesSoFar, type Bench } from './bench'
import { computedOnBench } from './computed-words'
import { boardIsCharged, lapse, quiet, refuse, withPatch, type Conducted } from './conducted'
import { decideStep, foresee, lastSeq } from './decide-step'
import { takeExpected, type ElsewhereAnswer } from './elsewhere-request'
import type { CapturedBody, RunEventBody } from './event'
import { fitBoardId, sourcesLearned } from './fit-run'
import { goBack } from './go-back'
import { airIsNoMeasurement, airOf, learn, learnedEnough, learnedFor, withPattern } from './learn-air'
import { takeLimits, type LimitsAnswer } from './limits-request'
import { withWarningNoted } from './live'
import { askElsewhere, type Chosen } from './measure-elsewhere'
import { outcomeByHand } from './outcome'
import { minutesInWords, secondsToReady } from './waiting'
import { planStep, hasLimits, stepBehind, type ActPlanStep, type JudgedStep, type MeasurePlanStep } from './plan'
import type { PlacementsAnswer } from './placements-request'
import { takeDiagnosis, type Diagnosed } from './propose'
import { skipOvertaken } from './reasons'
import { isPreparation, stepState } from './state'
import { finishWalk } from './take-point'
import { takeValue } from './take-value'
import { leftWatch, pressWatch, readWatch } from './take-watch'
import type { MeterPatch } from './taught'
import { onTyped } from './typed'

export type Press = 'confirm' | 'again' | 'back' | 'pause' | 'resume' | 'found' | 'finish' | 'same-meter' | 'other-meter'
export type BenchInput =
  | { kind: 'reading'; reading: Reading }
  | { kind: 'press'; press: Press; at: Seconds }
  /** What a meter shows that no cable joins to the app, typed in. */
  | { kind: 'typed'; text: string; step: string; touch: number; at: Seconds }
  /** `step`: the one the reason was asked for; without it the present one. */
  | { kind: 'skip'; reason: string; step?: string | undefined; at: Seconds }
  | { kind: 'note'; text: string; step?: string | undefined; at: Seconds }
  | { kind: 'end'; reason: string; at: Seconds }
  /** A placement of the technician's own choice is measured now. */
  | ({ kind: 'elsewhere'; at: Seconds } & Chosen)
  /** By the diagnosis of all that was recorded. */
  | { kind: 'diagnosed'; diagnosed: Diagnosed; at: Seconds }
  /** By the worker: what the steps could read elsewhere, and with faults. */
  | { kind: 'placements-known'; answer: PlacementsAnswer; at: Seconds }
  /** By the worker: what the steps without limits of their own are judged by. */
  | { kind: 'limits-computed'; answer: LimitsAnswer; at: Seconds }
  /** By the worker: what a good board reads where the technician measures. */
  | { kind: 'elsewhere-computed'; answer: ElsewhereAnswer; at: Seconds }
  | { kind: 'taken-up'; at: Seconds }
  | { kind: 'meter-lost'; at: Seconds }
  /** `other`: it is known to be another meter; else it is asked. `because`: what is to be known of the values so far. */
  | { kind: 'meter-back'; other: boolean; because?: string | undefined; at: Seconds }
  /** What hangs on the link does not answer as the meter of this run did. */
  | { kind: 'meter-doubted'; because: string; at: Seconds }
  | { kind: 'tick'; at: Seconds; utcMs: number }

/** A press this soon after the step changed was meant for the one before. */
export const pressGuardSeconds = 0.5
/** Monotonic time stands still while a computer sleeps; UTC does not. */
const sleptSeconds = 60
/** Without contact for this long the proof lapses (capture.md, rule 13). */
const proofRestsSeconds = 600

/** Capture's outputs, one after the other; an event ends the round, for the bench moves on once it is stored. */
const onOutputs = (bench: Bench, step: JudgedStep, outputs: readonly CaptureOutput[]): Conducted => {
  let next = quiet(bench)
  for (const output of outputs) {
    switch (output.kind) {
      case 'captured': {
        const done = takeValue({ ...next.bench, lastContact: output.value.at }, step, output.value)
        return { ...done, tones: [...next.tones, ...done.tones] }
      }
      case 'charged': {
        if ('fixture' in step.placement) break
        return { ...next, events: [boardIsCharged], tones: [...next.tones, 'wrong-function'] }
      }
      case 'contact': next = { ...next, bench: { ...next.bench, lastContact: output.at }, tones: [...next.tones, 'contact'] }; break
      case 'lifted': next = { ...next, tones: [...next.tones, 'lift'] }; break
      case 'silent': next = { ...next, tones: [...next.tones, 'silent'] }; break
      // A meter that the app sets needs no hand: it is being set.
      case 'wrong-function': if (!isSetByApp(bench, step)) next = { ...next, tones: [...next.tones, 'wrong-function'] }; break
    }
  }
  return next
}

const frequency = (bench: Bench, reading: Reading): number | null => {
  const gap = bench.lastReading === null ? 0 : reading.at - bench.lastReading.at
  if (gap <= 0 || gap > 5) return bench.perSecond
  // The gaps are averaged: two frames that come in one go say little of the pace.
  return bench.perSecond === null ? 1 / gap : 1 / (0.8 / bench.perSecond + 0.2 * gap)
}

const onReading = (before: Bench, reading: Reading): Conducted => {
  const bench = { ...before, perSecond: frequency(before, reading), lastReading: reading }
  const step = currentStep(bench)
  if (step === null || step.kind !== 'measure') return quiet(bench)
  if (bench.learning !== null) return quiet({ ...bench, learning: learn(bench.learning, reading) })
  if (bench.watch !== null && step.purpose?.kind === 'watch' && hasLimits(step)) return readWatch(bench, step, step.purpose, bench.watch, reading)
  if (bench.capture === null || !hasLimits(step)) return quiet(bench)
  const { state, outputs } = capture(bench.capture, { reading })
  const touching = state.contact !== null ? { lastContact: reading.at } : {}
  return onOutputs({ ...bench, ...touching, capture: state }, step, outputs)
}

/** The press that ends a learning step: what the open leads show is kept as this meter's air. */
const takeAir = (bench: Bench, step: MeasurePlanStep, at: Seconds): Conducted => {
  const { learning } = bench
  const pattern = learning === null ? null : airOf(learning)
  if (learning === null || pattern === null || !learnedEnough(learning, at)) return refuse(bench, 'Hold the leads apart a moment longer, then press again.')
  const finite = learning.from === null || learning.to === null ? null : (learning.from + learning.to) / 2
  const touch: CapturedBody = {
    kind: 'captured', step: step.id, touch: 1, function: step.function, range: null, resolution: learning.resolution, unit: unitOf[step.function],
    value: finite ?? 'overload', median: finite, sd: null, conversions: learning.conversions, seconds: learnedFor(learning, at), raw: learning.raw,
    uncertainty: null, ...(finite === null ? {} : { noBudget: airIsNoMeasurement }), limits: 'open', rule: bench.context.rule, verdict: 'pass', evidence: 'confirmed',
  }
  const learned: MeterPatch = { air: withPattern(bench.context.meter.air, pattern) }
  const patched = withPatch(bench, learned)
  return { bench: patched, events: [touch, ...decideStep(patched, [touch], step, 'pass', [lastSeq(bench.run) + 1], touch.value)], tones: ['pass'], learned, refused: null }
}

const onAct = (bench: Bench, step: ActPlanStep, found: boolean): Conducted => {
  if (found && step.kind !== 'look') return refuse(bench, 'Only a step that looks can find something.')
  const left = secondsToReady(bench, step)
  if (left > 0) return refuse(bench, `Still warm: ${minutesInWords(left)} to go. A warm junction reads low. Skip the wait only with a reason.`)
  const done: RunEventBody = found ? { kind: 'done', step: step.id, note: 'damage found' } : { kind: 'done', step: step.id }
  const from = [lastSeq(bench.run) + 1]
  return { ...quiet(bench), events: [done, ...decideStep(bench, [done], step, found ? 'fail' : 'pass', from, null)], tones: [found ? 'fail' : 'pass'] }
}

/** The steps that bring the board to what this one needs are said to be done; then it is asked for again. */
const remedied = (bench: Bench, { id }: MeasurePlanStep, remedy: readonly string[]): Conducted => ({
  ...quiet(bench), tones: ['pass'],
  events: remedy.flatMap((step, index): RunEventBody[] => [
    { kind: 'done', step },
    { kind: 'decided', step, verdict: 'pass', from: [lastSeq(bench.run) + 2 * index + 1], next: id, asSequence: stepBehind(bench.context.plan, step) },
  ]),
})

/** A meter nobody has named yet: what was known of the one before does not hold for it. */
const unknownMeter = (bench: Bench): Meter => {
  const { meter } = bench.context
  return {
    ...meter, id: `${meter.id.slice(0, 40)}-${bench.run.events.length}`, name: `another meter on ${meter.port ?? 'this port'}`.slice(0, 80), isolated: 'unknown',
    accuracy: {}, air: [], leadCheck: null, diodeCheck: null, sourceCheck: null, register: blankRegisterEntry,
  }
}

/** A note on the run as a whole. */
const ofTheRun = (text: string | undefined): RunEventBody[] => (text === undefined ? [] : [{ kind: 'noted', step: null, text }])

/** Says which meter the values that follow come from. */
const meterBack = (same: boolean, { id, name }: Meter): RunEventBody => ({ kind: 'meter-back', same, meter: isReadByEye({ id }) ? null : { id, name } })

const onPress = (bench: Bench, press: Press, at: Seconds): Conducted => {
  const { run } = bench
  if (press === 'same-meter' || press === 'other-meter') {
    if (!bench.asksSameMeter) return refuse(bench, 'No question about the meter is open.')
    const same = press === 'same-meter'
    const answered = { ...bench, asksSameMeter: false, context: same ? bench.context : { ...bench.context, meter: unknownMeter(bench), scatter: noScatter } }
    return { ...quiet(answered), events: [meterBack(same, answered.context.meter), ...lapse(bench, 'the meter was connected anew')] }
  }
  if (bench.record) return refuse(bench, 'This run has ended and is here to be read. Start the board again to measure it anew.')
  if (press === 'back') return goBack(bench)
  if (press === 'resume') return run.status === 'paused'
    ? { ...quiet(bench), events: [{ kind: 'resumed' }, ...lapse(bench, 'the run was paused')] } : refuse(bench, 'The run is not paused.')
  if (run.status !== 'running') return refuse(bench, run.status === 'paused' ? 'The run is paused. Resume it first.' : 'The run has ended.')
  if (press === 'pause') return { ...quiet(bench), events: [{ kind: 'paused' }] }
  if (run.meterLost || bench.asksSameMeter) return refuse(bench, 'The meter is away; nothing is recorded.')
  const step = currentStep(bench)
  if (step === null) return refuse(bench, 'There is no step to act on.')
  // The second of two quick presses was meant for the step before.
  if (press !== 'again' && at - bench.shown.since < pressGuardSeconds) return quiet(bench)
  if (step.kind !== 'measure') return press === 'finish' ? refuse(bench, 'No walk is being learned in this step.') : press === 'again' ? refuse(bench, 'Nothing is measured in this step.') : onAct(bench, step, press === 'found')
  if (press === 'found') return refuse(bench, 'Only a step that looks can find something.')
  if (press === 'finish') return finishWalk(bench, step)
  if (bench.learning !== null) {
    return press === 'confirm' ? takeAir(bench, step, at) : quiet(settle({ ...bench, attempt: '' }, at))
  }
  if (press === 'confirm' && step.otherState !== undefined && step.otherState.remedy.length > 0) return remedied(bench, step, step.otherState.remedy)
  if (!hasLimits(step)) return refuse(bench, computedOnBench(step))
  if (isReadByEye(bench.context.meter)) return refuse(bench, 'No meter is connected: type what it shows.')
  if (bench.watch !== null && step.purpose?.kind === 'watch') return press === 'confirm' ? pressWatch(bench, step, step.purpose, bench.watch, at) : quiet(settle({ ...bench, attempt: '' }, at))
  if (bench.capture === null) return quiet(bench)
  const { state, outputs } = capture(bench.capture, { press, at })
  return onOutputs({ ...bench, capture: state }, step, outputs)
}

const skip = (bench: Bench, reason: string, askedFor: string | undefined): Conducted => {
  const step = currentStep(bench)
  if (askedFor !== undefined && askedFor !== step?.id) {
    const own = stepState(bench.run, askedFor)
    return refuse(bench, skipOvertaken(planStep(bench.context.plan, askedFor)?.title ?? askedFor, own.decided !== null && own.captured.length > 0))
  }
  if (step === null || bench.run.status !== 'running') return refuse(bench, 'There is no step to skip now.')
  if (isPreparation(step.id)) return refuse(bench, 'The preparation cannot be skipped: without it a reading proves nothing. End the run if it cannot be made.')
  // The good board alone is left out, where the step has limits of its own.
  if (step.kind === 'measure' && step.beside?.board === 'good' && step.beside.own !== null) return { ...quiet(bench), events: [{ kind: 'not-compared', step: step.id, reason }] }
  const skipped: RunEventBody = { kind: 'skipped', step: step.id, reason }
  const touches = touchesSoFar(bench.run, step.id).map((each) => each.seq)
  return { ...quiet(bench), events: [skipped, ...decideStep(bench, [skipped], step, 'not-judged', touches, null)] }
}

const note = (bench: Bench, text: string, writtenAt: string | undefined): Conducted => {
  if (writtenAt !== undefined && planStep(bench.context.plan, writtenAt) === null) return refuse(bench, `This run has no step ${writtenAt}: the note was not kept.`)
  return { ...quiet(bench), events: [{ kind: 'noted', step: writtenAt ?? currentStep(bench)?.id ?? null, text }] }
}

const onTick = (before: Bench, at: Seconds, utcMs: number): Conducted => {
  const slept = Math.abs((utcMs - before.utcMs) / 1000 - (at - before.tickAt)) > sleptSeconds
  const bench = { ...before, utcMs, tickAt: at }
  if (slept && bench.run.status === 'running' && proofBegun(bench.run)) {
    return { ...quiet(bench), events: lapse(bench, 'this computer slept, or its clock was set') }
  }
  const resting = bench.run.status === 'running' && at - bench.lastContact > proofRestsSeconds
  if (resting && proofBegun(bench.run)) {
    const rested = { ...bench, lastContact: at }
    return { ...quiet(rested), events: lapse(rested, 'nothing was touched for 10 minutes') }
  }
  const settled = settle(bench, at)
  const step = currentStep(settled)
  if (settled.capture === null || step === null || step.kind !== 'measure' || !hasLimits(step)) return quiet(settled)
  const { state, outputs } = capture(settled.capture, { tick: at })
  return onOutputs({ ...settled, capture: state }, step, outputs)
}

const onInput = (bench: Bench, input: BenchInput): Conducted => {
  switch (input.kind) {
    case 'reading': return onReading(bench, input.reading)
    case 'press': return onPress(bench, input.press, input.at)
    case 'typed': return onTyped(bench, input, input.at)
    case 'skip': return skip(bench, input.reason, input.step)
    case 'note': return note(bench, input.text, input.step)
    case 'end': return bench.run.status === 'ended' ? refuse(bench, 'The run has ended already.')
      : { ...quiet(bench), events: [outcomeByHand(bench.context.plan, bench.run, input.reason)] }
    case 'elsewhere': return askElsewhere(bench, input)
    case 'taken-up': return bench.run.status === 'ended' ? quiet(bench)
      : { ...quiet(bench), events: [{ kind: 'resumed' }, ...lapse(bench, 'the run was taken up again')] }
    case 'meter-lost': return isReadByEye(bench.context.meter) || bench.run.status === 'ended' || bench.run.meterLost || bench.asksSameMeter
      ? quiet({ ...bench, asksSameMeter: false, lastReading: null }) : { ...quiet(bench), events: [{ kind: 'meter-lost' }], tones: ['silent'] }
    case 'meter-back':
      if (!bench.run.meterLost) return quiet(bench)
      return input.other
        ? { ...quiet(bench), events: [meterBack(false, bench.context.meter), ...ofTheRun(input.because), ...lapse(bench, 'another meter was connected')] } : quiet({ ...bench, asksSameMeter: true })
    case 'meter-doubted': return isReadByEye(bench.context.meter) || bench.run.status === 'ended' ? quiet(bench)
      : { ...quiet({ ...bench, asksSameMeter: true, lastReading: null }), events: [...(bench.run.meterLost ? [] : [{ kind: 'meter-lost' as const }]), ...ofTheRun(input.because)], tones: ['silent'] }
    case 'limits-computed': return { ...quiet(bench), events: takeLimits(bench, input.answer) }
    case 'elsewhere-computed': return { ...quiet(bench), events: takeExpected(bench, input.answer) }
    case 'placements-known': return quiet({ ...bench, placements: input.answer })
    case 'diagnosed': return takeDiagnosis(bench, input.diagnosed, input.at)
    case 'tick': return onTick(bench, input.at, input.utcMs)
  }
}

/** A source fitted in this run is kept with the meter once the run has reached its end, by a value or by a skip. */
const withSourceLearned = (done: Conducted): Conducted => {
  const { plan, meter } = done.bench.context
  if (plan.board.id !== fitBoardId || !done.events.some((event) => event.kind === 'ended' && event.verdict === 'pass')) return done
  const fitted = sourcesLearned(plan, foresee(done.bench.run, done.events), meter)
  return fitted === null ? done : { ...done, bench: withPatch(done.bench, fitted), learned: { ...done.learned, ...fitted } }
}

/** What a watch is left by. */
const leaves: readonly RunEventBody['kind'][] = ['paused', 'meter-lost', 'proof-lapsed', 'undone', 'skipped', 'ended']

/** A watch that is left has what it saw kept before that. */
const withWatchKept = (before: Bench, input: BenchInput, done: Conducted): Conducted => {
  const again = input.kind === 'press' && input.press === 'again' && done.refused === null
  const left = again || done.events.some(({ kind }) => leaves.includes(kind))
  return left && !done.events.some(({ kind }) => kind === 'watched') ? { ...done, events: [...leftWatch(before), ...done.events] } : done
}

/** Pure: the same bench and input give the same events. Store them, then hand them to `absorb`. */
export const conduct = (bench: Bench, input: BenchInput): Conducted => {
  const done = withWatchKept(bench, input, withSourceLearned(onInput(bench, input)))
  return { ...done, bench: withWarningNoted(done.bench, input.kind === 'reading' ? input.reading.at : input.at) }
}
