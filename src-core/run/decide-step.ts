/** The decision of one step with all that follows from it: where to, a lapse, the end of the run. */
import type { Bench } from './bench'
import { isPass, nextAfter, ruleNotCounted, type StepVerdict } from './branch'
import { boardStateOf, notCounted } from './board-state'
import type { CapturedBody, RunEvent, RunEventBody } from './event'
import { outcomeAtEnd, outcomeByHand, withGrounds } from './outcome'
import { refusalOfPower } from '../repair/prove'
import { elsewhereOf } from './elsewhere'
import { suppliedFor } from './off-its-pad'
import { nextInFreeOrder } from './order'
import type { PlanStep } from './plan'
import { peopleLimit, preparationDue } from './preparation'
import { isPreparation, reduce, type RunState } from './state'

/** The run as it will be once these events are stored. Times do not matter to the reducer. */
export const foresee = (run: RunState, bodies: readonly RunEventBody[]): RunState =>
  bodies.reduce((state, body): RunState => {
    const last = state.events[state.events.length - 1] ?? state.started
    const event: RunEvent = { ...body, v: 1, run: last.run, session: last.session, utc: last.utc, at: last.at, seq: last.seq + 1 }
    return reduce(state, event)
  }, run)

export const lastSeq = (run: RunState): number => run.events[run.events.length - 1]?.seq ?? 0

/** Made, skipped or left: from a step under power on, the board may have been supplied. */
export const afterPower = (step: PlanStep): RunEventBody[] =>
  step.kind === 'measure' && step.powered ? [{ kind: 'proof-lapsed', because: `${suppliedFor} ${step.title}` }] : []

/** The decision of a step with all that follows from it: where to, a lapse after a powered step, the end of the run. */
export const decideStep = (bench: Bench, before: readonly RunEventBody[], step: PlanStep, verdict: StepVerdict, from: number[], value: CapturedBody['value'] | null): RunEventBody[] => {
  const { context: { plan, meter }, run } = bench
  const decided = (next: Extract<RunEventBody, { kind: 'decided' }>['next']): RunEventBody => ({ kind: 'decided', step: step.id, verdict, from, next })
  if (isPreparation(step.id)) {
    const after = foresee(run, [...before, decided('end')])
    const danger = aboveThePeopleLimit(bench, step, value)
    if (danger !== null) return [decided('end'), outcomeByHand(plan, after, danger)]
    const missed: RunEventBody[] = step.id === 'prepare/known-source-after' && !isPass(verdict)
      ? [{ kind: 'proof-lapsed', because: 'the known source was missed after the stores were read' }] : []
    const [due] = preparationDue(plan, foresee(run, [...before, decided('end'), ...missed]), meter, bench.utcMs)
    return [decided(due ?? after.cursor ?? plan.steps[0]?.id ?? 'end'), ...missed]
  }
  const elsewhere = elsewhereOf(step)
  if (elsewhere !== null) return [decided(elsewhere.then)]
  const state = boardStateOf(plan, foresee(run, before))
  const asSequence = nextAfter(plan, step.id, verdict, value, state)
  const short = ruleNotCounted(plan, step.id, verdict, value, state)
  const said: RunEventBody[] = short === null ? [] : [{ kind: 'noted', step: step.id, text: notCounted(plan, step, short, state), ofDecision: true }]
  const free = run.started.order !== undefined
  const wanted = free ? nextInFreeOrder(plan, foresee(run, [...before, decided(asSequence)]), step.id, asSequence) : asSequence
  const noPower = typeof wanted === 'string' ? refusalOfPower(plan, foresee(run, [...before, decided(wanted)]), wanted) : null
  const next = noPower === null ? wanted : 'end'
  const made: RunEventBody = { kind: 'decided', step: step.id, verdict, from, next, ...(free ? { asSequence } : {}) }
  const lapse: RunEventBody[] = [...afterPower(step), ...said]
  if (typeof next !== 'string') return [made, ...lapse, { kind: 'ended', verdict: next.stop, because: withGrounds(next.because, plan, foresee(run, [...before, made])) }]
  if (next !== 'end') return [made, ...lapse]
  const all = [made, ...lapse]
  const ended = outcomeAtEnd(plan, foresee(run, [...before, ...all]))
  return [...all, noPower === null ? ended : { ...ended, verdict: ended.verdict === 'pass' ? 'incomplete' : ended.verdict, because: `${noPower} ${ended.because}` }]
}

/** On a board said to be extra-low, a store above the limit for people ends the run: the board type is wrong. */
const aboveThePeopleLimit = (bench: Bench, step: PlanStep, value: CapturedBody['value'] | null): string | null => {
  if (step.purpose?.kind !== 'store' || value === null || bench.context.plan.board.hazard !== 'extra-low') return null
  const { dcVolts } = bench.context.plan.board.limitForPeople ?? peopleLimit
  const over = typeof value !== 'number' || Math.abs(value) > dcVolts
  return over ? `${step.title}: above ${dcVolts} V, which can injure. The board type says extra-low; stop, and have someone qualified make it safe.` : null
}
