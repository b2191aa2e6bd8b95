/**
 * The order of a run's steps where the technician lets the diagnosis choose it: the sequence's own steps, each still made once, in another order.
 * Only measure steps between two steps of another kind change places, since looking, lifting and supplying change what is measured.
 */
import { boardStateOf } from './board-state'
import { nextAfter, type Next } from './branch'
import { mannerOf, type MeasurePlanStep, type Plan, type PlanStep } from './plan'
import { standingTouch } from './standing'
import { stepState, type Decided, type RunState } from './state'

const indexOf = (plan: Plan, id: string): number => plan.steps.findIndex((step) => step.id === id)

const goesBack = (plan: Plan): boolean => plan.steps.some((step, at) => step.then.some((branch) => 'goTo' in branch && indexOf(plan, branch.goTo) <= at))

/** A step whose leads stay where they were needs the one before it just before it. */
const isMovable = (plan: Plan, at: number): boolean => {
  const [step, after] = [plan.steps[at], plan.steps[at + 1]]
  return step?.kind === 'measure' && mannerOf(step) === 'measure' && !step.powered && !step.keepsContact && !(after?.kind === 'measure' && after.keepsContact)
}

/** First and last index of the steps that may change places with this one; null: it stays where it is. */
const blockOf = (plan: Plan, id: string): { from: number; to: number } | null => {
  const at = indexOf(plan, id)
  if (at < 0 || !isMovable(plan, at) || goesBack(plan)) return null
  let [from, to] = [at, at]
  while (isMovable(plan, from - 1)) from -= 1
  while (isMovable(plan, to + 1)) to += 1
  return { from, to }
}

/** Of a run in free order that did not keep where the sequence led: by its value, its limits and the state of the board as they were. */
const asItWasJudged = (plan: Plan, run: RunState, step: PlanStep, decided: Decided): Next => {
  const touch = standingTouch(stepState(run, step.id))
  const judged = step.kind === 'measure' && touch !== null ? { ...step, limits: touch.limits } : step
  const then = { ...plan, steps: plan.steps.map((each) => (each === step ? judged : each)) }
  return nextAfter(then, step.id, decided.verdict, touch?.value ?? null, boardStateOf(plan, run, decided.seq))
}

/** Where the branch led that a decided step took; null where it took none. */
const jumpOf = (plan: Plan, run: RunState, step: PlanStep): number | null => {
  const { decided } = stepState(run, step.id)
  if (decided === null) return null
  const next = decided.asSequence ?? (run.started.order === undefined ? decided.next : asItWasJudged(plan, run, step, decided))
  const to = typeof next === 'string' ? indexOf(plan, next) : -1
  return to > indexOf(plan, step.id) + 1 ? to : null
}

/** A branch that was taken leads past this step: the sequence does not ask for it. */
export const isPassedOver = (plan: Plan, run: RunState, id: string): boolean => {
  const at = indexOf(plan, id)
  return plan.steps.slice(0, Math.max(0, at)).some((step) => { const to = jumpOf(plan, run, step); return to !== null && to > at })
}

const isMade = (run: RunState, id: string): boolean => stepState(run, id).decided !== null

/** A step before it that could lead past it must have been made. */
const waitsFor = (plan: Plan, run: RunState, at: number): boolean => plan.steps.slice(0, at).some((step) =>
  !isMade(run, step.id) && step.then.some((branch) => 'goTo' in branch && indexOf(plan, branch.goTo) > at))

/** The steps that may come next in place of this one, itself among them, in the order of the sequence. */
export const openBeside = (plan: Plan, run: RunState, id: string): MeasurePlanStep[] => {
  const block = blockOf(plan, id)
  if (block === null) return []
  return plan.steps.slice(block.from, block.to + 1).filter((step, off): step is MeasurePlanStep =>
    step.kind === 'measure' && !isMade(run, step.id) && !isPassedOver(plan, run, step.id) && !waitsFor(plan, run, block.from + off))
}

/**
 * Where a run in free order goes after a step: what is still open beside it, then on. @param run with that step decided.
 * @param next where the sequence goes.
 */
export const nextInFreeOrder = (plan: Plan, run: RunState, id: string, next: Next): Next => {
  const block = blockOf(plan, id)
  if (block === null || typeof next !== 'string') return next
  const [open] = openBeside(plan, run, id)
  if (open !== undefined) return open.id
  const past = plan.steps.slice(0, block.to + 1).reduce((to, step) => Math.max(to, jumpOf(plan, run, step) ?? 0), block.to + 1)
  return plan.steps[past]?.id ?? 'end'
}
