/** Where a run goes after a step: the branch that matches, else the next step of the sequence. */
import type { Branch } from '../board/board-type'
import type { MeasuredValue } from '../meter/reading'
import type { DecidedBody } from './event'
import type { Plan } from './plan'

export type StepVerdict = DecidedBody['verdict']
export type Next = DecidedBody['next']

export const isFail = (verdict: StepVerdict): boolean => verdict === 'fail' || verdict === 'conditional-fail'
export const isPass = (verdict: StepVerdict): boolean => verdict === 'pass' || verdict === 'conditional-pass'

/** `fail` and `pass` take their conditional forms with them; overload counts as above every figure. */
const matches = (when: Branch['when'], verdict: StepVerdict, value: MeasuredValue | null): boolean => {
  // A doubtful contact has no value to branch on.
  if (verdict === 'doubtful') return when === 'doubtful'
  if (typeof when === 'string') {
    switch (when) {
      case 'pass': return isPass(verdict)
      case 'fail': return isFail(verdict)
      case 'overload': return value === 'overload'
      default: return verdict === when
    }
  }
  if ('below' in when) return typeof value === 'number' && value < when.below
  return value === 'overload' || (typeof value === 'number' && value > when.above)
}

/** @param value of the touch the verdict stands on; null for a step that measures nothing. */
export const nextAfter = (plan: Plan, step: string, verdict: StepVerdict, value: MeasuredValue | null): Next => {
  const index = plan.steps.findIndex((each) => each.id === step)
  const branch = verdict === 'not-judged' ? undefined : plan.steps[index]?.then.find(({ when }) => matches(when, verdict, value))
  if (branch !== undefined) return 'goTo' in branch ? branch.goTo : { stop: branch.stop, because: branch.because }
  return plan.steps[index + 1]?.id ?? 'end'
}
