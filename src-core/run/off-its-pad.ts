/** Whether what was chosen elsewhere can be read on the board as it is. */
import { isLeg } from '../board/lifted-leg'
import { legsOf } from '../circuit/diagnose/lifted-legs'
import { boardStateOf } from './board-state'
import { onTestPoints, type MeasurePlanStep, type Plan } from './plan'
import type { RunState } from './state'

/** Of a placement elsewhere: its legs are lifted. @param until number of an event. */
export const canBeRead = (plan: Plan, run: RunState, step: MeasurePlanStep, until = Infinity): boolean => {
  const at = onTestPoints(step.placement)
  const legs = legsOf(boardStateOf(plan, run, until))
  return at !== null && [at.red, at.black].every((id) => !isLeg(id) || legs.some((leg) => leg.id === id))
}
