/** Takes a diagnosis into the run: what it would have measured next, in free order; what it concludes, once the run has ended. */
import type { Seconds } from '../quantity/units'
import { currentStep, nextTouch, type Bench } from './bench'
import { quiet, type Conducted } from './conducted'
import { openBeside } from './order'

export type Proposed = { step: string; because: string }
/** `proposed`: the best first. `concludes`: sentences. */
export type Diagnosed = { proposed: readonly Proposed[]; concludes: readonly string[] }

/** A prompt that has stood longer is being followed: it is not taken away. */
export const promptStandsAfter = 2

/** In free order the step that tells most is asked for, while nothing of the present one is begun. @param proposed the best first. */
export const takeProposal = (bench: Bench, proposed: readonly Proposed[], at: Seconds): Conducted => {
  const { run, context: { plan } } = bench
  const step = currentStep(bench)
  const begun = step === null || nextTouch(run, step.id) > 1 || (bench.capture !== null && bench.capture.contact !== null)
  if (run.started.order !== 'tells-most' || run.status !== 'running' || begun || at - bench.shown.since > promptStandsAfter) return quiet(bench)
  const open = openBeside(plan, run, step.id)
  const first = proposed.find((one) => open.some(({ id }) => id === one.step))
  // What was asked for at once stays while it is still worth measuring: a prompt does not change under the leads for a little more.
  const stands = run.events.findLast(({ kind }) => kind === 'asked' || kind === 'decided')?.kind === 'asked' && proposed.some((one) => one.step === step.id)
  return first === undefined || stands || first.step === step.id ? quiet(bench) : { ...quiet(bench), events: [{ kind: 'asked', ...first }] }
}

export const takeDiagnosis = (bench: Bench, { proposed, concludes }: Diagnosed, at: Seconds): Conducted => {
  const { run } = bench
  if (run.ended === null) return takeProposal(bench, proposed, at)
  // What was concluded stands with the run; one that is only read is left as it is.
  const known = bench.record || run.standing.some(({ kind }) => kind === 'inferred')
  return known || concludes.length === 0 ? quiet(bench) : { ...quiet(bench), events: [{ kind: 'inferred', words: [...concludes] }] }
}
