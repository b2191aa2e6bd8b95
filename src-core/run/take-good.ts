/** A value on the good board: nothing of it is judged; the board under test is held to it. */
import type { CapturedValue } from '../capture/task'
import type { Bench } from './bench'
import { goodTouches, limitsBeside } from './beside'
import { isPass } from './branch'
import { uncertaintyAtTwo } from './check-run'
import { originOfStep } from './computed-words'
import { quiet, type Conducted } from './conducted'
import type { ComparedBody } from './event'
import { decisionOn, isInAir, judged, readOnly } from './judge'
import { betweenBoards } from './known-good'
import type { JudgedStep } from './plan'
import { questionFor } from './question'

/** By the rules of any touch, as if the step's own limits judged it: a value outside them asks for a fresh touch, and for where the leads are. */
export const takeGood = (bench: Bench, step: JudgedStep, own: JudgedStep['limits'] | null, value: CapturedValue): Conducted => {
  const before = goodTouches(bench.run, step.id)
  const count = before.length + 1
  const touch = count === 1 ? 1 : count === 2 ? 2 : 3
  const asJudged = own === null ? null : judged(bench.context, { ...step, limits: own }, value, touch, bench.utcMs)
  const elsewhere = asJudged === null ? null : questionFor(bench, step, asJudged)
  if (elsewhere !== null) return { ...quiet(bench), events: [elsewhere], tones: ['wrong-function'] }
  const fits = asJudged === null || isPass(asJudged.verdict)
  const read = readOnly(bench.context, step, value, bench.utcMs)
  const decision = asJudged === null ? 'accept' as const : decisionOn(step, [...before.map((each) => ({ ...each, verdict: each.fits ? 'pass' as const : 'fail' as const })), asJudged]).kind
  // Limits somebody wrote stay in force, and so do computed ones where no stated tolerance says how far two good boards lie apart: through junctions and
  // ICs that is far more than the usual share. The difference is said beside them.
  const keepsOwn = own !== null && (originOfStep({ computed: step.computed }) === null || !betweenBoards(bench.context.plan.board, step).stated)
  const told = decision !== 'accept' || keepsOwn ? null : limitsBeside(bench.context.plan.board, step, { value: value.value, inAir: isInAir(bench.context, value), U: uncertaintyAtTwo(read) })
  const compared: ComparedBody = {
    kind: 'compared', step: step.id, touch, ...read, fits, outcome: decision === 'accept' ? 'stands' : decision,
    limits: told?.limits ?? null, says: told?.says ?? '',
  }
  return { ...quiet(bench), events: [compared], tones: [decision === 'again' ? 'fail' : 'pass'] }
}
