/** Takes what the diagnosis would have measured next: in a run of free order that step is asked for, while nothing of the present one is begun. */
import type { Seconds } from '../quantity/units'
import { currentStep, touchesSoFar, type Bench } from './bench'
import { quiet, type Conducted } from './conducted'
import { openBeside } from './order'

export type Proposed = { step: string; because: string }

/** A prompt that has stood longer is being followed: it is not taken away. */
export const promptStandsAfter = 2

/** @param proposed the best first. */
export const takeProposal = (bench: Bench, proposed: readonly Proposed[], at: Seconds): Conducted => {
  const { run, context: { plan } } = bench
  const step = currentStep(bench)
  const begun = step === null || touchesSoFar(run, step.id).length > 0 || (bench.capture !== null && bench.capture.contact !== null)
  if (run.started.order !== 'tells-most' || run.status !== 'running' || begun || at - bench.shown.since > promptStandsAfter) return quiet(bench)
  const open = openBeside(plan, run, step.id)
  const first = proposed.find((one) => open.some(({ id }) => id === one.step))
  return first === undefined || first.step === step.id ? quiet(bench) : { ...quiet(bench), events: [{ kind: 'asked', ...first }] }
}
