/** The check of a meter against the kit's check standards: a run with no board, and what its values say. */
import { accuracyOf, type StatedAccuracy } from '../meter/accuracy-of'
import type { Identity } from '../meter/identity'
import type { BenchKit } from '../meter/instrument'
import { atTwo, calibrationHolds, checkFunction, checkKinds, checkLimit, checkOutcome, judgeCheck, standardOf, standardWords, type CheckedStandard, type CheckKind, type CheckResult } from '../metrology/check-standards'
import { blockedWords, checkInWords, standardName } from '../metrology/check-words'
import type { Limits } from '../metrology/limits'
import { expandedUncertainty } from '../metrology/uncertainty'
import { benchBoard } from './bench-board'
import type { RunEvent, RunEventBody } from './event'
import { makePlan, type MeasurePlanStep, type Plan } from './plan'
import { preparationSteps } from './preparation'
import { standingTouch } from './standing'
import { stepState, type Captured, type RunState } from './state'

export const checkBoardId = 'standard-check'
const bench = benchBoard(checkBoardId, 'Check of the meter', 'standard-check')

/** Twelve digits: no binary dust in what is kept. */
const plain = (value: number): number => Number(value.toPrecision(12))

/** ± the criterion about the standard's value: what makes the verdict on the value the verdict of the check. */
export const standardLimits = (standard: CheckedStandard, U: number | null): Limits => {
  const limit = checkLimit(U, standard)
  return { between: [plain(standard.value - limit), plain(standard.value + limit)] }
}

/** The criterion takes the uncertainties of meter and standard alike at k = 2. */
export const uncertaintyAtTwo = ({ uncertainty, budget }: Pick<Captured, 'uncertainty' | 'budget'>): number | null => {
  if (uncertainty === null) return null
  const bias = Math.abs(budget?.bias ?? 0)
  return atTwo(uncertainty.U - bias, uncertainty.k) + bias
}

const where: Record<CheckKind, (standard: CheckedStandard) => string> = {
  resistor: ({ label }) => `One tip on each end of ${label}. Keep fingers off the tips.`,
  diode: ({ label }) => `Red on the anode of ${label}, black on its cathode. Let it lie: a warm diode reads low.`,
}

/** Its limits are those before anything is measured; the value's own take their place. */
const standardStep = (standard: CheckedStandard, meter: StatedAccuracy | null): MeasurePlanStep => {
  const { kind } = standard
  const fn = checkFunction[kind]
  // The range is not known before the meter shows one: the smallest that reaches the standard.
  const accuracy = meter === null ? null : accuracyOf(meter, fn, standard.value)
  return {
    kind: 'measure', id: `check/${kind}`, title: standardName(standard), parts: [], where: where[kind](standard), caution: null, then: [], keepsContact: false, powered: false,
    means: 'The meter, its leads or the standard is not as it was. Nothing but a good check makes this meter’s values traceable again.',
    placement: { fixture: `check-${kind}`, reversed: false }, function: fn, purpose: { kind: 'standard', standard: kind },
    limits: standardLimits(standard, expandedUncertainty(standard.value, 0, 0, accuracy)?.U ?? null),
  }
}

export const kitStandards = ({ checkStandards }: Pick<BenchKit, 'checkStandards'>): CheckedStandard[] =>
  checkKinds.flatMap((kind) => { const found = standardOf(checkStandards, kind); return found === null ? [] : [found] })

export const checkPlan = (kit: BenchKit, meter: StatedAccuracy | null): Plan => {
  const session = preparationSteps(bench, kit)
  const leads = session.filter(({ id }) => id === 'prepare/leads-joined').map((step) => ({
    ...step, id: 'check/leads-joined', then: [{ when: 'fail' as const, stop: 'fail' as const, because: 'The leads were refused, so nothing was checked with them. Clean the tips or take other leads, and check again.' }],
  }))
  return {
    ...makePlan(bench, session.filter(({ id }) => id === 'prepare/leads-apart/resistance' || id === 'prepare/leads-apart/diode')),
    steps: [...leads, ...kitStandards(kit).map((standard) => standardStep(standard, meter))],
  }
}

/** Null, or why no check can be made with this kit. @param at UTC. */
export const refusalToCheck = (kit: BenchKit, at: string): string | null => {
  const found = kitStandards(kit)
  if (found.length === 0) return 'The bench kit has no check standards. Enter a check resistor and a check diode with their certificates on the Meters screen, under “Check standards”.'
  const late = found.find((standard) => !calibrationHolds(standard, at))
  if (late === undefined) return null
  return at.slice(0, 10) > late.due ? `${standardName(late)} was due for calibration on ${late.due}: a check with it proves nothing. Have it calibrated, and enter its new certificate on the Meters screen.`
    : `The certificate of ${standardName(late)} is dated ${late.calibrated}, which is still to come. Correct it on the Meters screen, or set this computer’s clock.`
}

export type WhichMeter = { name: string; identity: Identity }

/** A good check clears the meter it is kept with, and a failed one blocks it: which meter it is must not be a guess. */
export const refusalToCheckUnconfirmed = ({ name, identity }: WhichMeter): string | null => (identity !== 'assumed' ? null
  : `Nobody has confirmed yet that this is ${name}: a check of another meter would stand in its history. Confirm it on Start, or scan its asset number; then check it.`)

/** From this event on another meter was in the run. */
const otherMeterFrom = (state: RunState): number => state.events.find((event) => event.kind === 'meter-back' && !event.same)?.seq ?? Infinity

const resultOf = (state: RunState, kind: CheckKind, touch: Captured, seq: number, utc: string): CheckResult | null => {
  const { meter, kit, run } = state.started
  const standard = standardOf(kit.checkStandards, kind)
  // A typed value, or one of another meter, says nothing of this meter.
  if (meter === null || standard === null || touch.evidence === 'typed' || touch.seq > otherMeterFrom(state)) return null
  const result = judgeCheck(standard, { id: `${run}/${seq}`, utc, meter: meter.id, run, conversions: touch.conversions, value: touch.value, U: uncertaintyAtTwo(touch) })
  // Where another meter came in before the end, which of the two a good value is of is not sure; a miss was this one's.
  return state.otherMeterSince !== null && result.good ? null : result
}

const standardOfStep = (plan: Plan, id: string): CheckKind | null => {
  const step = plan.steps.find((each) => each.id === id)
  return step?.purpose?.kind === 'standard' ? step.purpose.standard : null
}

const decides = ({ kind, verdict }: { kind: string; verdict?: string }): boolean => kind === 'decided' && verdict !== 'doubtful' && verdict !== 'not-judged'

/**
 * Touches outside the limits that were ended upon, left in doubt, or left behind instead of being decided: each counts as what it showed.
 * @param before the number of the event that ended it; Infinity: the run was put aside, or the app was killed in it.
 */
export const failuresLeft = (plan: Plan, state: RunState, before = Infinity): CheckResult[] => plan.steps.flatMap((step) => {
  const kind = standardOfStep(plan, step.id)
  if (kind === null) return []
  // What an earlier end left was counted then.
  const since = state.events.findLast((event) => event.kind === 'ended' && event.seq < before)?.seq ?? 0
  const own = state.events.filter((event) => 'step' in event && event.step === step.id && event.seq > since)
  const touch = own.slice(own.findLastIndex(decides) + 1).findLast((event): event is Captured => event.kind === 'captured' && event.verdict === 'fail')
  const result = touch === undefined ? null : resultOf(state, kind, touch, touch.seq, touch.utc)
  return result === null ? [] : [result]
})

/** Every check that these events decided, or ended without a decision: kept whatever becomes of the run, an undo included. @param state with the events in it. */
export const checksDecided = (plan: Plan, state: RunState, events: readonly RunEvent[]): CheckResult[] => events.flatMap((event) => {
  if (event.kind === 'ended') return failuresLeft(plan, state, event.seq)
  const kind = event.kind === 'decided' ? standardOfStep(plan, event.step) : null
  if (event.kind !== 'decided' || kind === null || !decides(event)) return []
  const touch = state.events.find((each): each is Captured => each.kind === 'captured' && each.seq === event.from.at(-1))
  const result = touch === undefined ? null : resultOf(state, kind, touch, event.seq, event.utc)
  return result === null ? [] : [result]
})

/** What the whole check means, in its verdict and a sentence or two. */
export const checkOutcomeAtEnd = (plan: Plan, state: RunState): Extract<RunEventBody, { kind: 'ended' }> => {
  if (state.otherMeterSince !== null) return { kind: 'ended', verdict: 'incomplete', because: 'Another meter came into this check, so it says nothing of either. Start it again.' }
  const made = plan.steps.flatMap((step) => {
    const own = stepState(state, step.id)
    const touch = standingTouch(own)
    const kind = standardOfStep(plan, step.id)
    const judged = own.decided !== null && own.decided.verdict !== 'doubtful' && own.decided.verdict !== 'not-judged'
    const result = kind === null || touch === null || own.decided === null || !judged ? null : resultOf(state, kind, touch, own.decided.seq, own.decided.utc)
    return result === null ? [] : [result]
  })
  const words = made.map(checkInWords).join(' ')
  if (made.some((check) => checkOutcome(check) === 'failed')) return { kind: 'ended', verdict: 'fail', because: `${words} ${blockedWords}` }
  const missing = checkKinds.filter((kind) => !made.some((check) => check.good && check.standard.kind === kind))
  if (missing.length === 0) return { kind: 'ended', verdict: 'pass', because: words }
  const open = `No good check with the ${missing.map((kind) => standardWords[kind].toLowerCase()).join(' and the ')}: values of this meter are not traceable.`
  return { kind: 'ended', verdict: 'incomplete', because: words === '' ? open : `${words} ${open}` }
}
