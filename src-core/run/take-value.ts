/** One accepted value becomes events: the touch, and, once the touches agree, what the step decides. */
import type { CapturedValue } from '../capture/task'
import { touchesSoFar, type Bench } from './bench'
import { isPass, type StepVerdict } from './branch'
import { quiet, withPatch, type Conducted, type Tone } from './conducted'
import { decideStep, lastSeq } from './decide-step'
import { decisionOn, judged } from './judge'
import type { JudgedStep } from './plan'
import { elsewhereOf } from './elsewhere'
import { takeElsewhere } from './measure-elsewhere'
import { questionFor } from './question'
import { takePoint } from './take-point'
import { takeGood } from './take-good'
import { taught, unlearned } from './taught'

/** One touch more of this step: an event, and, when it settles the step, the decision with all that follows; or the question where the leads are. */
export const takeValue = (bench: Bench, step: JudgedStep, value: CapturedValue): Conducted => {
  if (step.purpose?.kind === 'walk' && step.purpose.learns) return takePoint(bench, step, step.purpose, value)
  if (elsewhereOf(step) !== null) return takeElsewhere(bench, step, value)
  if (step.beside?.board === 'good') return takeGood(bench, step, step.beside.own, value)
  const touches = touchesSoFar(bench.run, step.id)
  const count = touches.length + 1
  const touch = judged(bench.context, step, value, count === 1 ? 1 : count === 2 ? 2 : 3, bench.utcMs)
  const elsewhere = questionFor(bench, step, touch)
  if (elsewhere !== null) return { ...quiet(bench), events: [elsewhere], tones: ['wrong-function'] }
  const all = [...touches, touch]
  const decision = decisionOn(step, all)
  const tone: Tone = isPass(touch.verdict) ? 'pass' : 'fail'
  if (decision.kind === 'again') return { ...quiet(bench), events: [touch], tones: [tone] }
  const numbers = [...touches.map((each) => each.seq), lastSeq(bench.run) + 1]
  const standing = all[decision.on.at(-1) ?? all.length - 1] ?? touch
  const verdict: StepVerdict = decision.kind === 'doubtful' ? 'doubtful' : standing.verdict
  const learned = isPass(verdict) ? taught(bench, step, touch) : unlearned(step)
  const patched = withPatch(bench, learned)
  const from = decision.kind === 'doubtful' ? numbers : decision.on.map((index) => numbers[index] ?? lastSeq(bench.run) + 1)
  return { bench: patched, events: [touch, ...decideStep(patched, [touch], step, verdict, from, standing.value)], tones: [tone], learned, refused: null }
}
