/** Where a run goes after a step: the branch that matches, else the next step of the sequence. */
import type { Branch } from '../board/board-type'
import { missingOf, type PartState } from '../board/part-state'
import type { MeasuredValue } from '../meter/reading'
import { boundsOf } from '../metrology/interval'
import type { DecidedBody } from './event'
import { stepBehind, type Plan, type PlanStep } from './plan'

export type StepVerdict = DecidedBody['verdict']
export type Next = DecidedBody['next']

export const isFail = (verdict: StepVerdict): boolean => verdict === 'fail' || verdict === 'conditional-fail'
export const isPass = (verdict: StepVerdict): boolean => verdict === 'pass' || verdict === 'conditional-pass'

/** `fail` and `pass` take their conditional forms with them; overload counts as above every figure. */
const matches = (when: Branch['when'], verdict: StepVerdict, value: MeasuredValue | null, step: PlanStep): boolean => {
  // A doubtful contact has no value to branch on.
  if (verdict === 'doubtful') return when === 'doubtful'
  if (typeof when === 'string') {
    switch (when) {
      case 'pass': return isPass(verdict)
      case 'fail': return isFail(verdict)
      case 'overload': return value === 'overload'
      case 'under-limits': case 'over-limits': {
        if (value === null || step.kind !== 'measure' || step.limits === null || !isFail(verdict)) return false
        const { low, high } = boundsOf(step.limits, step.function)
        if (when === 'over-limits') return high !== null && (value === 'overload' || (typeof value === 'number' && value > high))
        return low !== null && typeof value === 'number' && value < low
      }
      default: return verdict === when
    }
  }
  if ('below' in when) return typeof value === 'number' && value < when.below
  return value === 'overload' || (typeof value === 'number' && value > when.above)
}

const counts = (branch: Branch, state: readonly PartState[]): boolean => !('stop' in branch) || missingOf(branch.needs ?? [], state).length === 0

const matching = (step: PlanStep | undefined, verdict: StepVerdict, value: MeasuredValue | null): Branch[] =>
  (step === undefined || verdict === 'not-judged' ? [] : step.then.filter(({ when }) => matches(when, verdict, value, step)))

/** A rule that this value would have followed to the end of the run, were the board in the state it asks for; null: none. */
export const ruleNotCounted = (plan: Plan, step: string, verdict: StepVerdict, value: MeasuredValue | null, state: readonly PartState[]): Extract<Branch, { stop: string }> | null => {
  const found = matching(plan.steps.find((each) => each.id === step), verdict, value)
  const [first] = found
  return first !== undefined && 'stop' in first && !counts(first, state) ? first : null
}

/** @param value of the touch the verdict stands on; null for a step that measures nothing. @param state what is lifted or removed. */
export const nextAfter = (plan: Plan, step: string, verdict: StepVerdict, value: MeasuredValue | null, state: readonly PartState[]): Next => {
  const index = plan.steps.findIndex((each) => each.id === step)
  const branch = matching(plan.steps[index], verdict, value).find((one) => counts(one, state))
  if (branch !== undefined) return 'goTo' in branch ? branch.goTo : { stop: branch.stop, because: branch.because }
  return stepBehind(plan, step)
}
