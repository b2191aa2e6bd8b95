/** A good board beside the one under test: which steps are made on both, which board is asked for now, and what the value of the good one is worth. */
import type { MeasuredValue, MeterFunction, UnitSymbol } from '../meter/reading'
import type { BoardType } from '../board/board-type'
import type { Limits } from '../metrology/limits'
import { inWords } from '../quantity/engineering'
import { boardStateOf } from './board-state'
import type { RunEvent } from './event'
import { limitsOfGoodBoards } from './good-values'
import { betweenBoards } from './known-good'
import { needsProof, onTestPoints, type MeasurePlanStep, type Plan, type PlanStep } from './plan'
import { stepState, type Compared, type RunState, type StepState } from './state'
import { valueInWords } from './words'

/** Any figure is taken on the good board; two-sided, so that none is taken while it still moves. */
const anyFigure: Limits = { between: [-1e12, 1e12] }

/** With its test points, its power off and its steps not those of a walk or a watch. */
const canCompare = (step: PlanStep): step is MeasurePlanStep => step.kind === 'measure' && step.purpose === null && !step.powered && needsProof(step) && onTestPoints(step.placement) !== null

/** Why a good board beside it tells nothing of this board type; null: it does. */
export const refusalToCompare = ({ board: { name }, steps }: Plan): string | null =>
  (steps.some(canCompare) ? null : `No step of ${name} is measured with the power off between two test points, so a good board beside it would tell nothing. Start it without one.`)

/** While nothing is lifted or removed: what was taken off this board is not taken off a good one. */
const isCompared = (plan: Plan, run: RunState, step: PlanStep): step is MeasurePlanStep => run.started.beside === true && canCompare(step) && boardStateOf(plan, run).length === 0

/** Touches on the good board in the attempt that stands, with the present meter: another one drives other currents, and errs otherwise. */
export const goodTouches = (run: RunState, step: string): Compared[] => {
  const own = stepState(run, step)
  return own.decided === null ? own.compared.filter(({ seq }) => seq > (run.otherMeterSince ?? 0)) : []
}

/** What the good board came to; null: nothing yet. */
export const settledGood = ({ compared }: Pick<StepState, 'compared'>): Compared | null => {
  const last = compared.at(-1)
  return last === undefined || last.outcome === 'again' ? null : last
}

/** The step as it is asked for now: on the good board first, then on the one under test. */
export const onItsBoard = (plan: Plan, run: RunState, step: MeasurePlanStep): MeasurePlanStep => {
  if (!isCompared(plan, run, step)) return step
  const own = stepState(run, step.id)
  // Between two boards the leads always leave.
  const apart = { ...step, keepsContact: false }
  const good = settledGood({ compared: goodTouches(run, step.id) })
  if (own.decided === null && own.notCompared !== null) return { ...apart, beside: { board: 'under-test', good: null } }
  if (good === null) return { ...apart, limits: step.computed === null ? null : anyFigure, beside: { board: 'good', own: step.limits } }
  return { ...apart, limits: good.limits ?? step.limits, beside: { board: 'under-test', good } }
}

/** Which of the two boards a step of the preparation or the sequence is made on; null: neither, or there is one board alone. */
export const boardOfStep = ({ started: { beside } }: Pick<RunState, 'started'>, step: PlanStep): 'good' | 'under-test' | 'both' | null => {
  if (beside !== true) return null
  const { purpose } = step
  if (purpose?.kind === 'store' || purpose?.kind === 'discharge') return purpose.board ?? 'under-test'
  if (purpose?.kind === 'disconnect') return 'both'
  if (step.kind === 'measure') return 'fixture' in step.placement ? null : step.beside?.board ?? 'under-test'
  return 'under-test'
}

export const boardWords = { good: 'on the GOOD board', 'under-test': 'on the board under test', both: 'on both boards' } as const

/** Functions in which an overload means that nothing flows. */
const opens: readonly MeterFunction[] = ['resistance', 'continuity', 'diode']

type Good = { value: MeasuredValue; inAir: boolean; /** Expanded, k = 2, SI; null: not known. */ U: number | null }

/**
 * What the board under test is held to: the value of the good one and as far either way as two boards within the tolerance of the parts can lie apart, never narrower than
 * the uncertainty of both values together; open where the good one is. Null: the good board leaves nothing to hold it to.
 */
export const limitsBeside = (board: Pick<BoardType, 'parts'>, { parts, function: what }: Pick<MeasurePlanStep, 'parts' | 'function'>, { value, inAir, U }: Good): { limits: Limits; says: string } | null => {
  if (inAir || value === 'overload') return opens.includes(what) ? { limits: 'open', says: 'Open on the good board.' } : null
  const { share, whose } = betweenBoards(board, { parts, function: what })
  // Both are of one meter at nearly one value: √(U² + U²).
  const told = limitsOfGoodBoards([{ function: what, value, U: U === null ? null : Math.SQRT2 * U }], share, whose)
  return told === null ? null : { limits: told.limits, says: told.says.replace('on one good board', 'on the good board') }
}

/** How far the board under test lies above the good one, SI; null where either shows an overload. */
export const differenceOf = (good: MeasuredValue, value: MeasuredValue): number | null => (typeof good !== 'number' || typeof value !== 'number' ? null : value - good)

/** The same of a value on the good board: null also where its touches did not agree, since nobody knows which of them is right. */
export const differenceFromGood = ({ value: good, outcome }: Pick<Compared, 'value' | 'outcome'>, value: MeasuredValue): number | null => (outcome === 'stands' ? differenceOf(good, value) : null)

type Shown = Pick<Compared, 'value' | 'resolution'>

/** Two digits at most, and none below the step. */
const toStep = (value: number, step: number): number => {
  const two = Number(value.toPrecision(2))
  return step > 0 ? Number((Math.round(two / 10 ** Math.floor(Math.log10(step))) * 10 ** Math.floor(Math.log10(step))).toPrecision(6)) : two
}

/**
 * "+1.8 %"; by a figure where the good one reads zero; empty where either is none. Two figures that are rounded to a display's counts differ for certain only by
 * more than one count, the coarser of the two, so less is "no difference seen", and no digit is finer than a count.
 */
export const differenceInWords = (good: Shown, { value, resolution }: Shown, unit: UnitSymbol): string => {
  const above = differenceOf(good.value, value)
  if (above === null || typeof good.value !== 'number') return ''
  const count = Math.max(good.resolution ?? 0, resolution ?? 0)
  const off = Math.abs(above)
  if (off === 0 || off <= count * (1 + 1e-6)) return 'no difference seen'
  const sign = above < 0 ? '−' : '+'
  const share = 100 / Math.abs(good.value)
  return good.value === 0 ? `${sign}${inWords(toStep(off, count), unit, null)}` : `${sign}${toStep(off * share, count * share)} %`
}

export const goodInWords = ({ value, function: what, unit, resolution }: Compared): string => valueInWords(value, what, unit, resolution)

/** Beside a value: "good board 219.8 Ω, +1.8 %". @param value of the board under test; null: none yet. */
export const besideInWords = (good: Compared, value: Shown | null): string => {
  if (good.outcome === 'doubtful') return `good board ${goodInWords(good)}, doubtful`
  const off = value === null ? '' : differenceInWords(good, value, good.unit)
  return `good board ${goodInWords(good)}${off === '' ? '' : `, ${off}`}`
}

const isOfAttempt = (event: RunEvent): event is Extract<RunEvent, { kind: 'compared' | 'not-compared' | 'decided' }> =>
  event.kind === 'compared' || event.kind === 'not-compared' || event.kind === 'decided'

/** The good board's value that stood when this touch was judged; null: there is none. A decision that was taken back ends no attempt. */
export const goodBefore = (state: Pick<RunState, 'events'>, touch: { step: string; seq: number }): Compared | null => {
  let back = Infinity
  const before = state.events.findLast((event) => {
    if (event.seq >= touch.seq || event.seq > back) return false
    if (event.kind === 'undone') back = event.to
    return isOfAttempt(event) && event.step === touch.step
  })
  return before?.kind === 'compared' && before.outcome !== 'again' ? before : null
}

/** On the bench, behind where the leads go. */
export const besideOnBench = ({ beside, limits }: MeasurePlanStep): string => {
  if (beside === undefined) return ''
  if (beside.board === 'good') return 'Nothing is judged on the good board: the other one is held to it.'
  const { good } = beside
  if (good === null) return 'Not measured on the good board: judged by the limits of the step.'
  const own = good.limits !== null ? good.says : limits === null ? 'It leaves nothing to judge by.' : 'Judged by the limits of the step.'
  return `Good board: ${goodInWords(good)}. ${good.outcome === 'doubtful' ? 'Its touches did not agree, so nothing is held to it. ' : ''}${own}${good.fits ? '' : ' The good board itself lies outside the limits of this step: is it good, and is the board file right?'}`
}
