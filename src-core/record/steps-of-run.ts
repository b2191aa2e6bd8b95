/** The steps of a run as a record writes them: preparation first, then the whole sequence, what was not reached included. */
import type { BoardType } from '../board/board-type'
import { isLeg, placeOfTip, tipName } from '../board/lifted-leg'
import { isFail } from '../run/branch'
import { elsewhereMade, elsewhereOf } from '../run/elsewhere'
import { isPreparation, stepState, type RunState, type StepState } from '../run/state'
import { isPassedOver } from '../run/order'
import { mannerOf, type MeasurePlanStep, type Plan, type PlanStep } from '../run/plan'
import type { TestRecordContent } from './schema'
import type { RecordStep } from './step-schema'
import { recordGoodBoardOf } from './good-board-of-run'
import { recordPointsOf, recordWatchOf } from './walks-of-run'
import { acceptedTouch, limitsFrom, recordValuesOf, type Moment, type Telling } from './values-of-run'

const pointOf = (board: BoardType, id: string, legs: readonly string[] = []): Extract<NonNullable<RecordStep['placement']>, { red: unknown }>['red'] => {
  if (isLeg(id)) return { point: tipName(board, id), words: '', ...placeOfTip(board, id, legs) ?? { picture: '', x: 0, y: 0 } }
  const point = board.testPoints.find((each) => each.id === id)
  return { point: id, words: point?.words ?? '', picture: point?.picture ?? '', x: point?.x ?? 0, y: point?.y ?? 0 }
}

const placementOf = (board: BoardType, step: MeasurePlanStep): RecordStep['placement'] => {
  const { placement, purpose } = step
  const legs = elsewhereOf(step)?.legs
  if ('fixture' in placement) return placement
  if (purpose?.kind === 'walk' && purpose.learns) return { clipped: pointOf(board, placement.black) }
  if ('red' in placement) return { red: pointOf(board, placement.red, legs), black: pointOf(board, placement.black, legs) }
  return { walked: placement.point, words: placement.words, spot: placement.spot, black: pointOf(board, placement.black) }
}

const recordStepOf = (state: RunState, board: BoardType, step: PlanStep, telling: Telling): RecordStep => {
  const own = stepState(state, step.id)
  const { decided, skipped, done } = own
  const { moment } = telling
  const from = limitsFrom(board, step, state.started.kit)
  return {
    id: step.id, title: step.title, kind: mannerOf(step), part: isPreparation(step.id) ? 'preparation' : 'sequence',
    placement: step.kind === 'measure' ? placementOf(board, step) : null, function: step.kind === 'measure' ? step.function : null,
    instruction: step.kind === 'measure' ? step.where : step.words, parts: step.parts, powered: step.kind === 'measure' && step.powered,
    verdict: decided?.verdict ?? null, decided: decided === null ? null : moment(decided.utc),
    values: recordValuesOf(state, own, telling, from), ...recordPointsOf(state, board, step, own, telling), ...recordGoodBoardOf(state, own, telling), ...recordWatchOf(state, step, own, telling, from),
    skipped: skipped === null ? null : { at: moment(skipped.utc), because: skipped.reason },
    done: done === null ? null : { at: moment(done.utc), note: done.note ?? null, picture: done.picture ?? null },
  }
}

/** A step of the events that the present preparation does not make any more: it is told, by its id. */
const unknownStep = (state: RunState, id: string): PlanStep => {
  const common = { id, title: id, parts: [], where: '', caution: null, means: '', then: [], purpose: null }
  const [touch] = [...stepState(state, id).earlier, ...stepState(state, id).captured]
  return touch === undefined ? { ...common, kind: 'do', words: '' }
    : { ...common, kind: 'measure', placement: { fixture: 'leads-apart', reversed: false }, function: touch.function, limits: touch.limits, keepsContact: false, powered: false }
}

/** Steps that belong in the record, in the order of the plan, what was measured elsewhere last; those the plan does not know behind the preparation. */
export const stepsToTell = (state: RunState, plan: Plan): PlanStep[] => {
  const made = Object.keys(state.steps)
  const preparation = plan.preparation.filter(({ id }) => made.includes(id))
  const own = [...plan.steps, ...elsewhereMade(plan, made)]
  const known = new Set([...preparation, ...own].map(({ id }) => id))
  return [...preparation, ...made.filter((id) => !known.has(id)).map((id) => unknownStep(state, id)), ...own]
}

export const recordStepsOf = (state: RunState, plan: Plan, telling: Telling): RecordStep[] => {
  const planned = new Set([...plan.preparation, ...plan.steps, ...(plan.elsewhere ?? [])].map(({ id }) => id))
  return stepsToTell(state, plan).map((step) => {
    const told = recordStepOf(state, plan.board, step, telling)
    return planned.has(step.id) ? told : { ...told, placement: null }
  })
}

export const recordCautionsOf = (state: RunState, plan: Plan, moment: Moment): TestRecordContent['cautions'] => stepsToTell(state, plan).flatMap((step) => {
  const own = stepState(state, step.id)
  const shown = own.decided !== null || own.captured.length + own.learned.length + own.earlier.length + own.earlierLearned.length + own.earlierWatched.length > 0
  return step.caution === null || !shown ? [] : [{ step: step.id, words: step.caution, acknowledged: own.done === null ? null : moment(own.done.utc) }]
})

const notJudgedBecause = (state: RunState, step: PlanStep, reached: boolean): string | null => {
  const own = stepState(state, step.id)
  if (own.skipped !== null) return `Skipped: ${own.skipped.reason}`
  if (own.decided?.verdict === 'doubtful') return 'The touches did not agree: the contact was doubtful.'
  if (own.decided?.verdict === 'not-judged') return 'It was not judged.'
  return own.decided === null && !reached ? 'The run ended before this step.' : null
}

/** What no verdict stands on. A step that a branch passed over was not asked for, and is not among them. */
export const notJudgedOf = (state: RunState, plan: Plan): NonNullable<TestRecordContent['notJudged']> => {
  const last = plan.steps.findLastIndex(({ id }) => stepState(state, id).decided !== null)
  return plan.steps.flatMap((step, index) => {
    const passedOver = state.started.order === undefined ? index <= last : isPassedOver(plan, state, step.id)
    const because = notJudgedBecause(state, step, passedOver)
    return because === null ? [] : [{ step: step.id, because }]
  })
}

/** What the board file and the app conclude from a failed step, and from all readings together; a conclusion, not a measurement. */
export const opinionOf = (state: RunState, plan: Plan): TestRecordContent['opinion'] => [...ofFailedSteps(state, plan), ...ofDiagnosis(state)]

const ofDiagnosis = ({ standing }: RunState): TestRecordContent['opinion'] =>
  standing.flatMap((event) => (event.kind === 'inferred' ? event.words.map((words) => ({ about: 'Diagnosis', words })) : []))

const ofFailedSteps = (state: RunState, plan: Plan): TestRecordContent['opinion'] => plan.steps.flatMap((step) => {
  const { decided } = stepState(state, step.id)
  if (decided === null || !isFail(decided.verdict)) return []
  const words = [step.means, step.parts.length === 0 ? '' : `Parts in question: ${step.parts.join(', ')}.`].filter((each) => each !== '').join(' ')
  return words === '' ? [] : [{ about: step.id, words }]
})

const isPassed = (state: RunState, id: string): boolean => {
  const { decided } = stepState(state, id)
  return decided !== null && decided.seq > state.lapsedAt && (decided.verdict === 'pass' || decided.verdict === 'conditional-pass')
}

/** A value stands on which its verdict does, or a walk was learned, or a value followed. */
const wasProbed = (own: StepState): boolean => acceptedTouch(own) !== null || own.learned.length > 0 || own.watched !== null

const proofSteps = /^prepare\/(disconnect|known-source|store\/|discharge\/|again\/)/

/** What shows that the board was de-energised, as it stands at the end of the run. */
export const deEnergisedOf = (state: RunState, plan: Plan, moment: Moment): TestRecordContent['deEnergised'] => {
  const { board } = plan
  const steps = plan.preparation.filter(({ id }) => proofSteps.test(id) && stepState(state, id).decided !== null).map(({ id }) => id)
  const proven = board.energyStores.filter(({ id }) => isPassed(state, `prepare/again/${id}`) || isPassed(state, `prepare/store/${id}`))
  const disconnected = isPassed(state, 'prepare/disconnect')
  const left = board.energyStores.filter((store) => !proven.includes(store)).map(({ id }) => id)
  const whole = disconnected && left.length === 0
  const stores = board.energyStores.length === 0 ? 'The board file names no energy store.'
    : left.length > 0 ? `Not shown to be empty at the end of the run: ${left.join(', ')}.`
      : `Measured within their limits: ${proven.map(({ id }) => id).join(', ')}.`
  return {
    proven: whole, words: `${disconnected ? 'Supplies and cables were taken off.' : 'It is not recorded that supplies and cables were taken off.'} ${stores}`,
    steps, lapsed: state.events.flatMap((event) => (event.kind === 'proof-lapsed' ? [{ at: moment(event.utc), because: event.because }] : [])),
    poweredSteps: plan.steps.filter((step) => step.kind === 'measure' && step.powered && wasProbed(stepState(state, step.id))).map(({ id }) => id),
  }
}
