/** The bench while a run is on it: which step is asked for, what capture is told of it, and how stored events move it on. */
import { refusalToStart } from './admission'
import { rcSeconds } from '../circuit/time-constant'
import { carryOver, startCapture, type CaptureState } from '../capture/capture'
import type { CaptureTask, Carry } from '../capture/task'
import { startWatch, type WatchState } from '../capture/watch'
import { isReadByEye } from '../meter/by-eye'
import type { BenchKit, Meter } from '../meter/instrument'
import type { MeterFunction, Reading } from '../meter/reading'
import type { DecisionRule } from '../metrology/limits'
import { noScatter, type Scatter } from '../metrology/scatter'
import { ohms, seconds, type Seconds } from '../quantity/units'
import { goodTouches, onItsBoard } from './beside'
import { stateRefusal } from './board-state'
import { elsewhereOf, isVoltsElsewhere, withElsewhere } from './elsewhere'
import { canBeRead } from './off-its-pad'
import type { RunEvent } from './event'
import type { KnownGood } from './good-values'
import { startLearning, type Learning } from './learn-air'
import { scatterAfter } from './learn-scatter'
import { hasLimits, needsProof, onTestPoints, planStep, withComputedLimits, type JudgedStep, type MeasurePlanStep, type Plan, type PlanStep } from './plan'
import type { PlacementsAnswer } from './placements-request'
import { preparationDue, storeStep, usualWaitSeconds } from './preparation'
import { isPreparation, reduce, stepState, type Captured, type RunState } from './state'
import { atNextPoint, type KnownWalks } from './walk'
import type { Warned } from './warned'

/** What a meter description says of one function. */
export type FunctionFacts = {
  conversionSeconds: Seconds | null; counts: number; lowestRange: number
  /** The app sets the meter to it: no dial is asked for. */
  setByApp?: boolean
}

export type BenchContext = {
  plan: Plan
  meter: Meter
  kit: BenchKit
  rule: DecisionRule
  facts: Partial<Record<MeterFunction, FunctionFacts>>
  /** How this meter's readings scatter, as its touches so far have shown; missing: nothing is known yet. */
  scatter?: Scatter
  /** What the points of walks are judged by in this run; missing: its walks are learned, or it has none. */
  walks?: KnownWalks
  /** What good boards read at steps that have no limits of their own; missing: nothing is known. */
  good?: KnownGood
  /** A good board lies beside the one under test. */
  beside?: true
  /** Of a unit measured before: what each step came to first, in words. */
  first?: Readonly<Record<string, string>>
}

export type Bench = {
  context: BenchContext
  run: RunState
  /** Names the attempt capture works on; another name means another capture. */
  attempt: string
  capture: CaptureState | null
  /** In a step that follows a value, in place of a capture. */
  watch: WatchState | null
  learning: Learning | null
  carry: Carry | null
  /** The meter came back: is it the same one? Asked before anything is captured. */
  asksSameMeter: boolean
  /** Opened after its end, to be read only. */
  record: boolean
  /** The step on screen and since when, s: a press meant for the step before is not taken for this one. */
  shown: { step: string | null; since: Seconds }
  /** What the steps of this board could read elsewhere and with faults; null until it is computed. */
  placements: PlacementsAnswer | null
  /** Live warnings so far. */
  warned: Warned
  lastContact: Seconds
  lastReading: Reading | null
  perSecond: number | null
  /** Of the latest tick: its time, s, and UTC, ms. */
  tickAt: Seconds
  utcMs: number
}

/** The step asked for now; null at the end of the run. */
export const currentStep = (bench: Pick<Bench, 'context' | 'run' | 'utcMs'>): PlanStep | null => {
  const { context: { plan, meter }, run, utcMs } = bench
  if (run.status === 'ended' || run.cursor === 'end') return null
  const asked = run.cursor === null ? plan.steps[0] ?? null : planStep(plan, run.cursor)
  // Going back unmakes no soldering: at a leg that is on its pad again, or of a capacitor that was not seen empty since, nothing is asked for.
  const chosen = asked === null ? null : elsewhereOf(asked)
  const target = asked?.kind === 'measure' && chosen !== null && !canBeRead(plan, run, asked) ? planStep(plan, chosen.then) : asked
  const begun = run.cursor !== null || (target !== null && stepState(run, target.id).captured.length > 0)
  const [due] = preparationDue(plan, run, meter, utcMs)
  if (due !== undefined && (!begun || target === null || needsProof(target))) return planStep(plan, due)
  if (target === null || target.kind !== 'measure' || elsewhereOf(target) !== null) return target
  const misfit = stateRefusal(plan, run, target.id, target.purpose?.kind === 'walk' ? target.purpose.of.id : target.id)
  return misfit === null ? onItsBoard(plan, run, atNextPoint(target, run)) : { ...target, limits: null, otherState: misfit }
}

/** Touches of the attempt that stands; a step asked for again after its decision starts anew. */
export const touchesSoFar = (run: RunState, step: string): Captured[] => {
  const own = stepState(run, step)
  return own.decided === null ? own.captured : []
}

/** Touches on the board that is asked for now. */
export const touchesNow = (run: RunState, { id, ...step }: PlanStep): number =>
  (step.kind === 'measure' && step.beside?.board === 'good' ? goodTouches(run, id) : touchesSoFar(run, id)).length

/** Number of the touch that comes next; in a walk that is learned every point is one, and so is every touch of a good board beside. */
export const nextTouch = (run: RunState, step: string): number => {
  const { learned, notCompared } = stepState(run, step)
  return touchesSoFar(run, step).length + learned.length + goodTouches(run, step).length + (notCompared === null ? 0 : 1) + 1
}

/** A waited-for store: nothing is captured before its time has run since the discharge. */
export const notBefore = (bench: Pick<Bench, 'context' | 'run'>, step: PlanStep): Seconds | null => {
  if (step.purpose?.kind !== 'store' || step.purpose.when !== 'again') return null
  const { store: id, board } = step.purpose
  const done = stepState(bench.run, storeStep(board)('discharge', id)).done
  const store = bench.context.plan.board.energyStores.find((each) => each.id === id)
  return done === null ? null : seconds(done.at + (store?.waitSeconds ?? usualWaitSeconds))
}

/** What a good board reads here lies in the air pattern: open, or zero volts. */
export const expectsAir = (step: MeasurePlanStep): boolean =>
  step.limits === 'open' || step.purpose?.kind === 'store' || isVoltsElsewhere(step)

export const captureTask = (bench: Pick<Bench, 'context' | 'run'>, step: JudgedStep): CaptureTask => {
  const { context } = bench
  const facts = context.facts[step.function]
  const { leadCheck } = context.meter
  const points = onTestPoints(step.placement)
  const rc = points === null ? null : rcSeconds(context.plan.board, points, step.function)
  return {
    step: step.id, function: step.function, limits: step.limits, expectsAir: expectsAir(step), air: context.meter.air,
    conversionSeconds: facts?.conversionSeconds ?? null, lowestRange: facts?.lowestRange ?? null, counts: facts?.counts ?? null,
    rcSeconds: rc === null ? null : seconds(rc),
    lead: leadCheck === null || step.purpose?.kind === 'leads' ? null : { ohms: ohms(leadCheck.ohms), resolution: leadCheck.resolution },
    anyResolution: step.purpose?.kind === 'leads', // After a question the leads are lifted, to be put where they belong.
    keepsContact: step.keepsContact && touchesSoFar(bench.run, step.id).length === 0 && stepState(bench.run, step.id).questioned === null, notBefore: notBefore(bench, step),
  }
}

/** Starts capture anew when the attempt changed: another step, another touch, or the same step after an undo. */
export const settle = (bench: Bench, at: Seconds): Bench => {
  const step = currentStep(bench)
  const undone = bench.run.events.filter((event) => event.kind === 'undone' || event.kind === 'proof-lapsed').length
  const measuring = step !== null && step.kind === 'measure' && hasLimits(step) && bench.run.status === 'running' && !bench.run.meterLost && !bench.asksSameMeter
    && !isReadByEye(bench.context.meter) && refusalToStart(bench.context.plan.board, bench.context.meter) === null
  const asked = bench.run.events.filter((event) => event.kind === 'questioned').length
  const attempt = measuring ? `${step.id} ${nextTouch(bench.run, step.id) - 1} ${undone} ${asked} ${stepState(bench.run, step.id).decided?.seq ?? 0}` : ''
  const id = step?.id ?? null
  const shown = id === bench.shown.step && attempt === bench.attempt ? bench.shown : { step: id, since: at }
  return startAttempt({ ...bench, shown }, step, attempt, at)
}

const startAttempt = (bench: Bench, step: PlanStep | null, attempt: string, at: Seconds): Bench => {
  if (attempt === bench.attempt) return bench
  const carry = bench.capture === null ? bench.carry : carryOver(bench.capture)
  if (attempt === '' || step === null || step.kind !== 'measure' || !hasLimits(step)) return { ...bench, attempt, carry, capture: null, watch: null, learning: null }
  if (step.purpose?.kind === 'learn-air') return { ...bench, attempt, carry, capture: null, watch: null, learning: startLearning(step.function, at) }
  if (step.purpose?.kind === 'watch') return { ...bench, attempt, carry: carry === null ? null : { ...carry, held: null }, capture: null, learning: null, watch: startWatch(captureTask(bench, step), at, carry?.measuredConversion) }
  return { ...bench, attempt, carry, watch: null, learning: null, capture: startCapture(captureTask(bench, step), at, carry) }
}

/** Whether what a screen shows of the run has changed; of ages, which change by themselves, nothing is said. */
export const isShownAnew = (before: Bench, after: Bench): boolean =>
  before.run !== after.run || before.asksSameMeter !== after.asksSameMeter || before.attempt !== after.attempt || before.shown !== after.shown

/** Takes stored events in: reduces them, learns the meter's scatter from what they decided, then asks for what comes next. */
export const absorb = (bench: Bench, events: readonly RunEvent[], at: Seconds): Bench => {
  const run = events.reduce(reduce, bench.run)
  const scatter = scatterAfter(bench.context.scatter ?? noScatter, run, events)
  const plan = withElsewhere(run.limits === bench.run.limits ? bench.context.plan : withComputedLimits(bench.context.plan, run.limits), run.events)
  return settle({ ...bench, run, context: { ...bench.context, plan, scatter } }, at)
}

/** A bench for a run that has just started, or was taken up again. */
export const openBench = (context: BenchContext, run: RunState, at: Seconds, utcMs: number): Bench =>
  settle({
    context: { ...context, plan: withElsewhere(withComputedLimits(context.plan, run.limits), run.events) }, run, attempt: '', capture: null, watch: null, learning: null, carry: null, asksSameMeter: false, record: run.ended !== null, placements: null, shown: { step: null, since: at }, warned: {}, lastContact: at,
    lastReading: null, perSecond: null, tickAt: at, utcMs,
  }, at)

/** True once anything of the proof was made since it last lapsed. */
export const proofBegun = (run: RunState): boolean =>
  Object.entries(run.steps).some(([id, { decided }]) => isPreparation(id) && decided !== null && decided.seq > run.lapsedAt)
