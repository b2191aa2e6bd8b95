/** Holds two runs of one board type against each other, step by step. */
import type { BoardType } from '../board/board-type'
import { inWords } from '../quantity/engineering'
import type { Agreement, ComparedStep, Comparison } from './compare-view'
import { judgedLimitsInWords } from './computed-words'
import { headOf, planOfRun } from './detail'
import { placementInWords, takesAnything, type Plan, type PlanStep } from './plan'
import { standingTouch } from './standing'
import { stepState, type Captured, type RunState, type StepState } from './state'
import { watchInWords } from './watch-words'
import { valueInWords } from './words'

export type RunWithBoard = { state: RunState; board: BoardType | null }
type Uncertainty = Captured['uncertainty']

/**
 * Expanded uncertainty (k = 2) of a difference of two values: the root of the sum of the squares of their standard
 * uncertainties (JCGM 100:2008, 5.1.2, values that do not depend on each other), times 2. With one meter for both, part of
 * U is common to them: then a smaller difference can be real too. Null where one has none.
 */
export const combinedUncertainty = (first: Uncertainty, second: Uncertainty): number | null =>
  first === null || second === null ? null : 2 * Math.hypot(first.U / first.k, second.U / second.k)

type Held = Pick<ComparedStep, 'difference' | 'combined' | 'agreement'>
const without = (is: Agreement): Held => ({ difference: null, combined: '', agreement: is })

const rounded = (value: number, digits: number): number => Number(value.toPrecision(digits))

const held = (one: StepState, other: StepState): Held => {
  const [first, second] = [standingTouch(one), standingTouch(other)]
  if (first === null && second === null) return without('neither')
  if (first === null || second === null) return without('one-only')
  if (one.decided?.verdict === 'doubtful' || other.decided?.verdict === 'doubtful') return without('doubtful')
  if (typeof first.value !== 'number' || typeof second.value !== 'number') return without(first.value === second.value ? 'both-open' : 'one-open')
  const si = second.value - first.value
  const U = combinedUncertainty(first.uncertainty, second.uncertainty)
  const percent = first.value === 0 ? null : rounded((100 * si) / Math.abs(first.value), 2)
  return {
    difference: { si, words: `${si > 0 ? '+' : ''}${inWords(rounded(si, 3), first.unit, null)}`, percent },
    combined: U === null ? '' : inWords(rounded(U, 2), first.unit, null),
    agreement: U === null ? 'not-known' : Math.abs(si) > U ? 'differ' : 'agree',
  }
}

const says: Record<Agreement, string> = {
  agree: 'agree within U', differ: 'differ by more than U', 'one-open': 'one is open or over range', 'both-open': 'both open or over range',
  'not-known': 'no U to compare by', doubtful: 'contact was doubtful', 'one-only': 'measured in one only', neither: 'measured in neither', looked: '',
}

const sideOf = (own: StepState): ComparedStep['first'] => {
  const touch = standingTouch(own)
  const value = own.watched !== null ? watchInWords(own.watched) : touch === null ? (own.done === null ? '' : own.done.note ?? 'done') : valueInWords(touch.value, touch.function, touch.unit, touch.resolution)
  const U = touch?.uncertainty ?? null
  return {
    value, uncertainty: U === null || touch === null ? '' : `± ${inWords(rounded(U.U, 2), touch.unit, null)}`,
    verdict: own.decided?.verdict ?? null, evidence: touch?.evidence ?? null, skipped: own.skipped !== null,
  }
}

const placementOf = (step: PlanStep): string =>
  step.kind === 'measure' ? placementInWords(step.placement) : ''

const limitsOf = (state: RunState, step: PlanStep): string => (step.kind === 'measure' && !takesAnything(step) ? judgedLimitsInWords(state, step, standingTouch(stepState(state, step.id))) : '')

/** Of a watch, and of a walk that was learned, there is no one value to hold against another. */
const hasOneValue = (step: PlanStep): boolean => step.kind === 'measure' && step.purpose?.kind !== 'watch' && !(step.purpose?.kind === 'walk' && step.purpose.learns)

const compared = (step: PlanStep, twin: PlanStep, one: RunState, other: RunState): ComparedStep => {
  const [first, second] = [stepState(one, step.id), stepState(other, step.id)]
  const [limits, limitsThere] = [limitsOf(one, step), limitsOf(other, twin)]
  const sides = { first: sideOf(first), second: sideOf(second) }
  const { difference, combined, agreement } = hasOneValue(step) ? held(first, second) : without('looked')
  const verdictsDiffer = sides.first.verdict !== null && sides.second.verdict !== null && sides.first.verdict !== sides.second.verdict
  return {
    id: step.id, title: step.title, placement: placementOf(step),
    limits: limits === limitsThere ? limits : `${limits}; in the second ${limitsThere}`,
    ...sides, difference, combined, agreement, verdictsDiffer,
    flagged: agreement === 'differ' || agreement === 'one-open' || verdictsDiffer,
    says: [says[agreement], verdictsDiffer ? 'verdicts differ' : ''].filter((each) => each !== '').join(', '),
  }
}

/** Why two steps of the same id are not the same measurement; null where they are. */
const unlike = (first: PlanStep, second: PlanStep): string | null => {
  if (first.kind !== second.kind) return `a step to ${first.kind} in the first, to ${second.kind} in the second`
  if (first.kind !== 'measure' || second.kind !== 'measure') return null
  if (first.function !== second.function) return `${first.function} in the first, ${second.function} in the second`
  return placementOf(first) === placementOf(second) ? null : `${placementOf(first)} in the first, ${placementOf(second)} in the second`
}

const onlyIn = (which: 'first' | 'second', own: Plan, other: Plan): Comparison['notComparable'] =>
  own.steps.filter(({ id }) => other.steps.every((each) => each.id !== id)).map(({ id, title }) => ({ id, title, because: `only in the ${which} run’s sequence` }))

const cautionFor = (first: RunState['started'], second: RunState['started']): string => {
  const by = 'Steps are compared by their names where function and points agree.'
  if (first.board.revision !== second.board.revision) return `Revision ${first.board.revision} and revision ${second.board.revision}: good values can differ. ${by}`
  const same = first.sequence.id === second.sequence.id && first.sequence.version === second.sequence.version
  if (!same) return `The sequence was changed between the two (${first.sequence.id} version ${first.sequence.version}, ${second.sequence.id} version ${second.sequence.version}). ${by}`
  return first.board.sha256 === second.board.sha256 ? '' : `The board file was changed between the two. ${by}`
}

/** By name; with the id where that is not known, or where both are called the same. */
const namesOf = (first: RunWithBoard, second: RunWithBoard): string[] => {
  const same = first.board?.name === second.board?.name
  return [first, second].map(({ state: { started }, board }) => (board === null ? started.board.id : same ? `${board.name} (${board.id})` : board.name))
}

/** A sentence where the two cannot be held against each other. */
export const compareRuns = (first: RunWithBoard, second: RunWithBoard): { comparison: Comparison } | { refused: string } => {
  const [one, other] = [first.state.started, second.state.started]
  if (one.run === other.run) return { refused: 'That is one run twice. Choose two.' }
  if (one.board.id !== other.board.id) return { refused: `These are runs of two board types, ${namesOf(first, second).join(' and ')}. Choose two of the same.` }
  const plans = [planOfRun(first.state, first.board), planOfRun(second.state, second.board)] as const
  const [plan, otherPlan] = plans
  if (plan === null || otherPlan === null) return { refused: 'The board file of one of these runs is missing from the data folder, so its steps are not known.' }
  const pairs = plan.steps.flatMap((step) => {
    const twin = otherPlan.steps.find(({ id }) => id === step.id)
    return twin === undefined ? [] : [{ step, twin, unlike: unlike(step, twin) }]
  })
  const steps = pairs.flatMap(({ step, twin, unlike: why }) => (why === null ? [compared(step, twin, first.state, second.state)] : []))
  return {
    comparison: {
      first: headOf(first.state, plan), second: headOf(second.state, otherPlan), caution: cautionFor(one, other), steps,
      notComparable: [
        ...pairs.flatMap(({ step: { id, title }, unlike: because }) => (because === null ? [] : [{ id, title, because }])),
        ...onlyIn('first', plan, otherPlan), ...onlyIn('second', otherPlan, plan),
      ],
      flagged: steps.filter(({ flagged }) => flagged).length,
    },
  }
}
