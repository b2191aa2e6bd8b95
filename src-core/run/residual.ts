/** What is left in a store and can injure: above the limit for people, on any board. */
import type { CapturedBody } from './event'
import { planStep, type Plan } from './plan'
import { peopleLimit } from './preparation'

/** A touch of a store, or of a capacitor off its pad, that reads above the limit for people of its board, or beyond the range. */
export const injures = (plan: Plan, touch: Pick<CapturedBody, 'step' | 'function' | 'value'>): boolean => {
  const kind = planStep(plan, touch.step)?.purpose?.kind
  if (kind !== 'store' && (kind !== 'elsewhere' || touch.function !== 'dc-voltage')) return false
  const { dcVolts, acVolts } = plan.board.limitForPeople ?? peopleLimit
  return typeof touch.value !== 'number' || Math.abs(touch.value) > (touch.function === 'ac-voltage' ? acVolts : dcVolts)
}
