/** One step back, as an event: what it takes back stays as earlier values. */
import { isUnderPower } from '../repair/prove'
import { currentStep, touchesSoFar, type Bench } from './bench'
import { goodTouches } from './beside'
import { lapse, quiet, refuse, type Conducted } from './conducted'
import { afterPower } from './decide-step'
import { elsewhereOf, isElsewhere } from './elsewhere'
import { planStep } from './plan'
import { stepState } from './state'
import { isLastPoint } from './walk'

/** The present touches, else the step decided last. */
export const goBack = (bench: Bench): Conducted => {
  const { run } = bench
  const step = currentStep(bench)
  const own = step === null ? [] : touchesSoFar(run, step.id)
  const first = own[0]
  const chosen = step === null || elsewhereOf(step) === null ? undefined : run.standing.findLast((event) => event.kind === 'elsewhere' && event.step === step.id)
  if (chosen !== undefined) return { ...quiet(bench), events: [{ kind: 'undone', to: chosen.seq - 1 }] }
  // A run opened again after its end has the board proven anew: nobody knows what happened to it since. Going back takes no supply off either.
  const leaving = run.ended !== null ? lapse(bench, 'the run had ended') : isUnderPower(run) ? lapse(bench, 'the board may still be under power') : step === null ? [] : afterPower(step)
  const point = step === null || stepState(run, step.id).decided !== null ? undefined : stepState(run, step.id).learned.at(-1)
  const good = step === null || first !== undefined ? undefined : goodTouches(run, step.id)[0]
  if (good !== undefined && run.ended === null) return { ...quiet(bench), events: [{ kind: 'undone', to: good.seq - 1 }, ...leaving] }
  if (point !== undefined && run.ended === null) return { ...quiet(bench), events: [{ kind: 'undone', to: point.seq - 1 }, ...leaving] }
  if (first !== undefined) return { ...quiet(bench), events: [{ kind: 'undone', to: first.seq - 1 }, ...leaving] }
  if (run.ended !== null && run.events.some(({ kind }) => kind === 'repaired' || kind === 'closed')) return refuse(bench, 'Repairs are logged on this run: it stays as it is. Measure the board again instead.')
  // An end by hand is taken back alone: no step was decided by it.
  if (run.ended !== null && run.cursor !== 'end') return { ...quiet(bench), events: [{ kind: 'undone', to: run.ended.seq - 1 }, ...leaving] }
  const decided = run.standing.filter((event) => event.kind === 'decided').at(-1)
  if (decided === undefined) return refuse(bench, 'This is the first step: there is nothing to go back to.')
  const state = stepState(run, decided.step)
  // The last point of its list ended the walk by itself: with the end goes the point.
  const walked = planStep(bench.context.plan, decided.step)?.purpose
  const last = walked?.kind === 'walk' && state.done !== null && isLastPoint(walked.of, state.learned.length) ? state.learned.at(-1) : undefined
  if (last !== undefined) return { ...quiet(bench), events: [{ kind: 'undone', to: last.seq - 1 }, ...leaving] }
  const numbers = [...state.captured, ...(isElsewhere(decided.step) ? state.learned : []), ...(state.watched === null ? [] : [state.watched]), ...(state.done === null ? [] : [state.done]), ...(state.skipped === null ? [] : [state.skipped]), decided].map((event) => event.seq)
  return { ...quiet(bench), events: [{ kind: 'undone', to: Math.min(...numbers) - 1 }, ...leaving] }
}
