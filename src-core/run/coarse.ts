/** A step whose limits this meter's display cannot tell apart: said with the step, before it is measured. */
import { coarseThroughout } from '../capture/ranging'
import { isReadByEye } from '../meter/by-eye'
import { unitOf } from '../meter/reading'
import { inWords } from '../quantity/engineering'
import { captureTask, type Bench } from './bench'
import { hasLimits, takesAnything, type PlanStep } from './plan'
import { isPreparation } from './state'

/** Null: this meter is fine enough, as far as is known. */
export const coarseInWords = (bench: Pick<Bench, 'context' | 'run'>, step: PlanStep): string | null => {
  if (step.kind !== 'measure' || !hasLimits(step) || takesAnything(step) || step.purpose?.kind === 'watch' || isReadByEye(bench.context.meter)) return null
  const task = captureTask(bench, step)
  const count = task.anyResolution ? null : coarseThroughout(task)
  if (count === null) return null
  const instead = isPreparation(step.id) ? 'Take a finer meter.' : 'Skip the step, or take a finer meter.'
  return `This meter is too coarse here: one count is ${inWords(count, unitOf[step.function], null)}, and only a value far outside the limits would be taken. ${instead}`
}
