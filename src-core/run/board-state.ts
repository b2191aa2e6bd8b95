/** What is lifted or removed on the board of a run, whether a reading counts so, and which step puts it right. */
import { after, isSame, missingOf, pinInWords, sameState, stateAt, stateInWords, type LeftState, type PartState } from '../board/part-state'
import type { Branch } from '../board/board-type'
import type { ActPlanStep, MeasurePlanStep, Plan, PlanStep } from './plan'
import type { RunState } from './state'

type Leaving = ActPlanStep & { leaves: LeftState[] }
const isLeaving = (step: PlanStep): step is Leaving => step.kind === 'do' && step.leaves !== undefined

type Told = Pick<RunState, 'events' | 'started'>

/** As the run found the board: whole, or as the run before it and the repairs since left it. */
export const foundAs = ({ started }: Pick<RunState, 'started'>): PartState[] => started.follows?.state ?? []

/** The last that was said of each step that changes the board. Going back unmakes no soldering: what was said stands until it is said otherwise. */
const lastSaid = (plan: Plan, run: Told, until: number): { seq: number; step: Leaving; done: boolean }[] => plan.steps.filter(isLeaving).flatMap((step) => {
  const said = run.events.findLast((event) => event.seq < until && (event.kind === 'done' || event.kind === 'skipped') && event.step === step.id)
  return said === undefined ? [] : [{ seq: said.seq, step, done: said.kind === 'done' }]
})

/** As the run found it, and by the steps that were done before `until` (the number of an event), in the order they were. */
export const boardStateOf = (plan: Plan, run: Told, until = Infinity): PartState[] => lastSaid(plan, run, until)
  .filter(({ done }) => done).sort((a, b) => a.seq - b.seq).reduce<PartState[]>((state, { step }) => after(state, step.leaves), foundAs(run))

const actOf = (one: PartState): string => {
  switch (one.is) {
    case 'lifted': return `lift ${pinInWords(one.ref, one.pin)}`
    case 'removed': return `take ${one.ref} out`
    case 'fitted': return `fit ${one.ref}`
    case 'jumpered': return `jumper ${one.ref}`
  }
}

/** "“Open the terminator” (take JP1 out)": each with the step of the sequence that does it. */
const toDo = (plan: Plan, missing: readonly PartState[]): string => {
  const byStep = missing.map((one) => ({ act: actOf(one), step: plan.steps.filter(isLeaving).find(({ leaves }) => leaves.some((left) => left.is !== 'back' && isSame(left, one)))?.title ?? null }))
  return [...new Set(byStep.map(({ step }) => step))].map((title) => {
    const acts = byStep.filter(({ step }) => step === title).map(({ act }) => act).join(', ')
    return title === null ? acts : `“${title}” (${acts})`
  }).join(', ')
}

type Stop = Extract<Branch, { stop: string }>

/** Why a rule that matched did not count, as a note. */
export const notCounted = (plan: Plan, step: Pick<PlanStep, 'title' | 'kind'>, { stop, because, needs = [] }: Stop, state: readonly PartState[]): string => {
  const missing = missingOf(needs, state)
  return `${step.title} says what would end the run (${stop.replace('-', ' ')}: ${because.replace(/[.]$/, '')}), but it counts only with ${stateInWords(needs)}. Missing: ${stateInWords(missing)}. To decide it, do ${toDo(plan, missing)} and ${step.kind === 'measure' ? 'measure' : 'look'} again.`.slice(0, 2000)
}

/** Beside the step on the bench: what has to be lifted or opened for its rules to count. Empty where there are none. */
export const needsOnBench = (plan: Plan, run: RunState, step: PlanStep): string => {
  const state = boardStateOf(plan, run)
  return step.then.flatMap((branch) => {
    if (!('stop' in branch) || branch.needs === undefined) return []
    const missing = missingOf(branch.needs, state)
    const counts = `Counts towards “${branch.stop.replace('-', ' ')}” only with ${stateInWords(branch.needs)}`
    return [missing.length === 0 ? `${counts}: so it is.` : `${counts}. Still to do: ${toDo(plan, missing)}.`]
  }).join(' ')
}

const apart = (one: readonly PartState[], other: readonly PartState[]): number => missingOf(one, other).length + missingOf(other, one).length

/** The steps that bring the board from one state to the other: those before `id` that lead nearer, else any single one. Empty: none do. */
const stepsTo = (plan: Plan, id: string, now: readonly PartState[], wanted: readonly PartState[]): Leaving[] => {
  const acts = plan.steps.filter(isLeaving)
  const before = acts.filter((step) => plan.steps.indexOf(step) < plan.steps.findIndex((each) => each.id === id))
  const taken = before.reduce<{ state: readonly PartState[]; steps: Leaving[] }>(({ state, steps }, step) => {
    const next = after(state, step.leaves)
    return apart(next, wanted) < apart(state, wanted) ? { state: next, steps: [...steps, step] } : { state, steps }
  }, { state: now, steps: [] })
  if (sameState(taken.state, wanted)) return taken.steps
  return acts.filter((step) => sameState(after(now, step.leaves), wanted)).slice(0, 1)
}

const boardSo = (state: readonly PartState[]): string => (state.length === 0 ? 'the board as it was built' : stateInWords(state))

/** Of a step to measure: the board is not in the state that its limits are for. Null: it is. @param inFile its id in the board file, where that is another. */
export const stateRefusal = (plan: Plan, run: RunState, id: string, inFile = id): MeasurePlanStep['otherState'] | null => {
  const [wanted, now] = [stateAt(plan.board, inFile, foundAs(run)), boardStateOf(plan, run)]
  if (sameState(wanted, now)) return null
  const steps = stepsTo(plan, id, now, wanted)
  const named = steps.map(({ title, words }) => `“${title}” (${words.replace(/[.]$/, '')})`).join(', then ')
  const remedy = steps.length === 0 ? 'Go back to the step that does it, or skip this one.' : `Do ${named}, then press Space; or skip this one.`
  return { because: `Its limits are for ${boardSo(wanted)}; this is ${boardSo(now)}. ${remedy}`, remedy: steps.map((step) => step.id) }
}

/** Of a step that changes the board and was gone back over: the change still stands. Empty: it was not. */
export const stillStands = (plan: Plan, run: RunState, id: string): string => {
  const said = lastSaid(plan, run, Infinity).find(({ step, done }) => step.id === id && done)
  if (said === undefined || run.standing.some(({ seq }) => seq === said.seq)) return ''
  const left = stateInWords(said.step.leaves.flatMap((one) => (one.is === 'back' ? [] : [one])))
  const back = said.step.leaves.flatMap((one) => (one.is === 'back' ? [one.ref] : []))
  const so = [...(left === '' ? [] : [left]), ...(back.length === 0 ? [] : [`${back.join(', ')} put back`])].join('; ')
  return `This was said to be done, and going back changed nothing on the board: it counts as ${so}. Press Space if it is so; skip this step if it is not.`
}
