/** What is lifted or removed on the board of a run, and whether a reading counts for a rule that asks for that. */
import { after, missingOf, pinInWords, sameState, stateAt, stateInWords, type PartState } from '../board/part-state'
import type { Branch } from '../board/board-type'
import type { Plan, PlanStep } from './plan'
import { stepState, type RunState } from './state'

/** By the steps that were done before `until` (the number of an event), in the order they were. */
export const boardStateOf = (plan: Plan, run: RunState, until = Infinity): PartState[] => plan.steps
  .flatMap((step) => { const { done, skipped } = stepState(run, step.id); return step.kind === 'do' && done !== null && done.seq < until && skipped === null && step.leaves !== undefined ? [{ seq: done.seq, leaves: step.leaves }] : [] })
  .sort((a, b) => a.seq - b.seq).reduce<PartState[]>((state, { leaves }) => after(state, leaves), [])

const toDo = (missing: readonly PartState[]): string => missing.map((one) => {
  switch (one.is) {
    case 'lifted': return `lift ${pinInWords(one.ref, one.pin)}`
    case 'removed': return `take ${one.ref} out`
    case 'fitted': return `fit ${one.ref}`
    case 'jumpered': return `jumper ${one.ref}`
  }
}).join(', ')

type Stop = Extract<Branch, { stop: string }>

/** Why a rule that matched did not count, as a note. */
export const notCounted = (step: Pick<PlanStep, 'title'>, { stop, because, needs = [] }: Stop, state: readonly PartState[]): string => {
  const missing = missingOf(needs, state)
  return `${step.title} reads what would end the run (${stop.replace('-', ' ')}: ${because.replace(/[.]$/, '')}), but it counts only with ${stateInWords(needs)}. Missing: ${stateInWords(missing)}. To decide it, ${toDo(missing)} and measure again.`.slice(0, 2000)
}

/** Beside the step on the bench: what has to be lifted or opened for its rules to count. Empty where there are none. */
export const needsOnBench = (plan: Plan, run: RunState, step: PlanStep): string => {
  const state = boardStateOf(plan, run)
  return step.then.flatMap((branch) => {
    if (!('stop' in branch) || branch.needs === undefined) return []
    const missing = missingOf(branch.needs, state)
    const counts = `Counts towards “${branch.stop.replace('-', ' ')}” only with ${stateInWords(branch.needs)}`
    return [missing.length === 0 ? `${counts}: so it is.` : `${counts}. Still to do: ${toDo(missing)}.`]
  }).join(' ')
}

/** Of a step with computed limits: the board is not in the state they were computed for. Null: it is. */
export const stateRefusal = (plan: Plan, run: RunState, id: string): string | null => {
  const [wanted, now] = [stateAt(plan.board, id), boardStateOf(plan, run)]
  if (sameState(wanted, now)) return null
  const words = (state: readonly PartState[]): string => (state.length === 0 ? 'the board as it was built' : stateInWords(state))
  return `They are computed for ${words(wanted)}; this is ${words(now)}. Go back to the step that does it, or skip this one.`
}
