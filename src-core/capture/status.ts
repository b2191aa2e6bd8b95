/** What capture waits for at this moment; the state line is made from it. */
import type { Seconds } from '../quantity/units'
import { airReady } from './air-run'
import { judgeContact } from './contact'
import { isFrozen } from './modes'
import { tooCoarse } from './ranging'
import { paceOf } from './pace'
import type { CaptureState } from './state'
import { fingersShow } from './finger'
import type { CaptureStatus } from './task'

const touching = (state: CaptureState): CaptureStatus => {
  if (state.contact === null) return { kind: 'touch', open: state.air !== null && !state.lift.asked && airReady(state.air) }
  const judged = judgeContact(state.contact, state.task, paceOf(state))
  switch (judged.kind) {
    case 'wait': case 'charging': case 'hunting': case 'ranging': case 'too-coarse': return judged
    case 'moving': return { kind: 'offer-moving', value: judged.value, resolved: judged.resolved }
    case 'steady': return { kind: 'steadying', have: judged.steady.window.length, need: judged.steady.window.length, trend: false }
    case 'unsteady':
      if (fingersShow(state.contact.last.value, state.task.function)) return { kind: 'fingers-off' }
      return { kind: 'steadying', have: judged.have, need: judged.need, trend: judged.trend }
  }
}

/** At time `at`, s. Leads apart in a step that expects a finite value say `touch`, though a press after 1 s of air is taken. */
export const captureStatus = (state: CaptureState, at: Seconds): CaptureStatus => {
  const { task, air, obstacle, lift } = state
  if (state.charged !== null) return { kind: 'charged', value: state.charged }
  if (obstacle !== null) return obstacle
  // A meter may well show a plain zero for minutes; a press and the known source answer for that.
  if (state.air === null && isFrozen(state, at)) return { kind: 'frozen' }
  if (lift.asked && (state.held !== null || state.contact !== null)) return { kind: 'lift', held: lift.different }
  if (state.captured !== null) return { kind: 'touch', open: false }
  if (task.notBefore !== null && at < task.notBefore) return { kind: 'wait', until: task.notBefore }
  if (air !== null && !lift.asked && (task.expectsAir || air.secondPoint !== null)) {
    const value = air.finite.at(-1)?.value ?? (air.shows === 'finite' ? 0 : air.shows)
    if (typeof value === 'number' && tooCoarse(value, air.count, task)) return { kind: 'too-coarse' }
    return { kind: 'confirm-air', value, ready: airReady(air), secondPoint: air.secondPoint !== null }
  }
  return touching(state)
}
