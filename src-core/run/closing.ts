/** The closing check of a session: leads and known source once more, and what a miss means for the runs before it. */
import type { BenchKit, Meter } from '../meter/instrument'
import { benchBoard } from './bench-board'
import type { CapturedBody } from './event'
import { makePlan, type Plan, type PlanStep } from './plan'
import { preparationSteps } from './preparation'
import { isPreparation } from './state'
import type { MeterPatch } from './taught'

export const closingBoardId = 'closing-check'

const bench = benchBoard(closingBoardId, 'Closing check', 'closing')

const asClosing = (step: PlanStep): PlanStep => ({ ...step, id: step.id.replace('prepare/', 'closing/') })

export const closingPlan = (kit: BenchKit): Plan => {
  const checks = preparationSteps(bench, kit).filter((step) => step.id === 'prepare/leads-joined' || step.id === 'prepare/known-source')
  return { ...makePlan(bench, []), steps: checks.map(asClosing) }
}

/** What a run captured, as far as a doubt needs it. */
export type CapturedInRun = Pick<CapturedBody, 'step' | 'function' | 'value'>

/** Values under 100 Ω of a run: those that the lead resistance was taken off. */
const lowOhmSteps = (captured: readonly CapturedInRun[]): string[] => [...new Set(captured.flatMap((touch) =>
  (touch.function === 'resistance' || touch.function === 'continuity') && typeof touch.value === 'number' && touch.value < 100 ? [touch.step] : []))]

/** `lastGood`: the run in which this was last as it should be; that run and those after it are in doubt. */
export type Doubt = { text: string; lowOhmsOnly: boolean; lastGood: string }

/** What a check made again casts doubt on. @param before the meter as the session left it. */
export const doubtsFrom = (before: Meter, patch: MeterPatch | null, sourceMissed: boolean): Doubt[] => {
  const was = before.leadCheck
  const is = patch?.leadCheck ?? null
  const refused = was !== null && patch !== null && patch.leadCheck === null
  // Both readings share the meter's systematic error; a count stands for how the tips met (common practice, no source).
  const moved = was !== null && is !== null && Math.abs(is.ohms - was.ohms) > Math.hypot(is.U, was.U) + Math.max(is.resolution, was.resolution)
  return [
    ...(moved ? [{ text: `The leads read ${is.ohms.toFixed(2)} Ω when they were checked again, ${was.ohms.toFixed(2)} Ω before: values under 100 Ω are in doubt`, lowOhmsOnly: true, lastGood: was.run }] : []),
    ...(refused ? [{ text: 'The leads were refused when they were checked again: values under 100 Ω are in doubt', lowOhmsOnly: true, lastGood: was.run }] : []),
    ...(sourceMissed && before.sourceCheck !== null
      ? [{ text: 'The known source was missed when it was read again: the proof that this board was de-energised is in doubt', lowOhmsOnly: false, lastGood: before.sourceCheck.run }] : []),
  ]
}

/** The note for one run; null where the doubt does not touch it. */
export const doubtNote = (doubt: Doubt, captured: readonly CapturedInRun[]): string | null => {
  const ofParts = captured.filter((touch) => !isPreparation(touch.step))
  if (ofParts.length === 0) return null
  if (!doubt.lowOhmsOnly) return `${doubt.text}.`
  const steps = lowOhmSteps(ofParts)
  return steps.length === 0 ? null : `${doubt.text}: ${steps.join(', ')}.`
}
