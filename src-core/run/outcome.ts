/** The verdict of a whole run, from what its steps decided. */
import { stateInWords } from '../board/part-state'
import { boardStateOf } from './board-state'
import { isFail, isPass } from './branch'
import { checkBoardId, checkOutcomeAtEnd } from './check-run'
import { untypedInVerdict } from './computed-words'
import type { RunEventBody } from './event'
import { fitBoardId, fitOutcomeAtEnd } from './fit-run'
import { coolStep } from '../repair/again'
import type { Plan } from './plan'
import { stepState, type RunState } from './state'

type Ended = Extract<RunEventBody, { kind: 'ended' }>

const named = (titles: string[]): string => titles.slice(0, 4).join('; ') + (titles.length > 4 ? ` and ${titles.length - 4} more` : '')

/** The run's verdict names the values that no cable brought: they rest on what was read and typed. */
const typedWords = (plan: Plan, state: RunState): string => {
  const all = [...plan.preparation, ...plan.steps]
  const typed = all.filter((step) => { const own = stepState(state, step.id); return own.decided !== null && own.captured.some((touch) => touch.evidence === 'typed') })
  const measured = all.filter((step) => stepState(state, step.id).captured.length > 0)
  if (typed.length > 1 && typed.length === measured.length) return ' Every value was read by eye and typed in.'
  return typed.length === 0 ? '' : ` Read by eye and typed in: ${named(typed.map((step) => step.title))}.`
}

/** The wait for the board to cool is no measurement: skipped, it is said, and judges nothing. */
const warmWords = (state: RunState): string => {
  const { skipped } = stepState(state, coolStep)
  return skipped === null ? '' : ` The wait for the board to cool was skipped: ${skipped.reason.replace(/[.]$/, '')}.`
}

/** A walk that was learned judged nothing: what this board read there is what others are held to. */
const learnedWords = (plan: Plan, state: RunState): string => {
  const learned = plan.steps.filter(({ id }) => { const { learned: points, decided } = stepState(state, id); return points.length > 0 && decided !== null && isPass(decided.verdict) })
  return learned.length === 0 ? '' : ` Learned here and not judged: ${named(learned.map(({ title }) => title))}.`
}

/** Which limits were computed rather than typed, and which values were typed rather than read. */
const standsOn = (plan: Plan, state: RunState): string => `${warmWords(state)}${learnedWords(plan, state)}${untypedInVerdict(plan, state)}${typedWords(plan, state)}`

/** A reason with what it stands on behind it, as sentences. */
export const withGrounds = (because: string, plan: Plan, state: RunState): string => {
  const words = standsOn(plan, state)
  return words === '' || /[.!?]$/.test(because) ? `${because}${words}` : `${because}.${words}`
}

/** Reached the end: fail if a step failed; incomplete if one was skipped, doubtful or not judged; else pass. */
export const outcomeAtEnd = (plan: Plan, state: RunState): Ended => {
  if (plan.board.id === checkBoardId) return checkOutcomeAtEnd(plan, state)
  if (plan.board.id === fitBoardId) return fitOutcomeAtEnd(plan, state)
  const failed = plan.steps.filter((step) => { const decided = stepState(state, step.id).decided; return decided !== null && isFail(decided.verdict) })
  const left = boardStateOf(plan, state)
  const notWhole = left.length === 0 ? '' : ` The board is not whole: ${stateInWords(left)}.`
  if (failed.length > 0) return { kind: 'ended', verdict: 'fail', because: `Outside limits: ${named(failed.map((step) => step.title))}.${notWhole}${standsOn(plan, state)}` }
  const open = plan.steps.filter((step) => step.id !== coolStep && ['doubtful', 'not-judged'].includes(stepState(state, step.id).decided?.verdict ?? ''))
  if (open.length > 0) return { kind: 'ended', verdict: 'incomplete', because: `Not judged: ${named(open.map((step) => step.title))}.${notWhole}${standsOn(plan, state)}` }
  if (left.length > 0) return { kind: 'ended', verdict: 'incomplete', because: `Every step lies within its limits, but the board is not whole: ${stateInWords(left)}. Put back what is good and replace what is not, then measure again.${standsOn(plan, state)}` }
  return { kind: 'ended', verdict: 'pass', because: `Every step that was asked for lies within its limits.${standsOn(plan, state)}` }
}

/** Ended by hand before the end: what failed stays failed, the rest was never judged. */
export const outcomeByHand = (plan: Plan, state: RunState, reason: string): Ended => {
  const soFar = outcomeAtEnd(plan, state)
  return soFar.verdict === 'fail'
    ? { ...soFar, because: `${soFar.because} Ended before the last step: ${reason}` }
    : { kind: 'ended', verdict: 'incomplete', because: withGrounds(`Ended before the last step: ${reason}`, plan, state) }
}
