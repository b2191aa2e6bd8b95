/** Makes the screen of one run from its events: it judges nothing, it tells what was recorded. */
import type { BoardType } from '../board/board-type'
import { viewOfBudget } from '../metrology/budget-view'
import { limitsInWords } from '../metrology/limits-in-words'
import { ruleName, stepRuleInWords } from '../metrology/rules'
import { truthInWords, type KnownWay } from '../practice/truth'
import { inWords } from '../quantity/engineering'
import { planOfBoard } from '../repair/again'
import { refusalToRead } from '../repair/log'
import { benchRunPlan } from './bench-runs'
import { goodInWords } from './beside'
import { kitStandards } from './check-run'
import { expectedInWords, judgedLimitsInWords, touchLimitsInWords } from './computed-words'
import type { DetailStep, DetailValue, FrameView, RunDetail, RunHead } from './detail-view'
import type { RunEvent } from './event'
import { eventInWords } from './event-words'
import { meterFactsOf } from './meter-facts'
import { isTouched, meterOf, metersOf } from './meter-of'
import { elsewhereExpected, elsewhereMade, elsewhereOf, readElsewhere, withElsewhere } from './elsewhere'
import { noRecordOf } from './no-record'
import { placementInWords, planStep, withComputedLimits, takesAnything, type Fixture, type Plan, type PlanStep } from './plan'
import { preparationSteps } from './preparation'
import { doneWords } from './result-words'
import { standingTouch } from './standing'
import { isPreparation, stepState, type Captured, type RunState, type StepState, type Watched } from './state'
import { withWalks } from './walk'
import { watchInWords } from './watch-words'
import { valueInWords } from './words'

/** The plan as it was when the run was made: the board file kept with it, the kit it began with. Null without the board file. */
export const planOfRun = (state: RunState, board: BoardType | null): Plan | null => {
  const { started } = state
  const benchRun = benchRunPlan(started.board.id, started.kit, started.meter)
  if (benchRun !== null) return benchRun
  return board === null ? null : withElsewhere(withComputedLimits(withWalks(planOfBoard(board, started.follows, (made) => preparationSteps(made, started.kit, started.beside)), started.walks, started.follows), state.limits), state.events)
}

export const headOf = (state: RunState, plan: Plan | null): RunHead => {
  const { started, ended } = state
  return {
    run: started.run, board: { id: started.board.id, name: plan?.board.name ?? started.board.id, revision: started.board.revision },
    sequence: started.sequence, serialNumber: started.serialNumber, practice: started.practice !== undefined,
    startedUtc: started.utc, endedUtc: ended?.utc ?? null, status: state.status, verdict: ended?.verdict ?? null, because: ended?.because ?? '',
    meter: metersOf(state),
  }
}

const basisWords = { specification: 'from the meter’s specification', generic: '1.5 % and 5 counts assumed', budget: 'from a budget' } as const

const uncertaintyWords = ({ uncertainty, unit }: Pick<Captured, 'uncertainty' | 'unit'>): string =>
  uncertainty === null ? '' : `± ${inWords(Number(uncertainty.U.toPrecision(2)), unit, null)} (k = ${Number(uncertainty.k.toFixed(2))}, ${basisWords[uncertainty.basis]})`

const valueOf = (state: RunState, touch: Captured, standing: boolean): DetailValue => {
  const figure = (value: number | null): string => (value === null ? '' : inWords(value, touch.unit, null))
  return {
    seq: touch.seq, utc: touch.utc, touch: touch.touch, standing,
    words: valueInWords(touch.value, touch.function, touch.unit, touch.resolution), si: touch.value, unit: touch.unit, function: touch.function,
    verdict: touch.verdict, evidence: touch.evidence, limits: touchLimitsInWords(state, touch), rule: ruleName(touch.rule),
    uncertainty: uncertaintyWords(touch), budget: touch.budget === undefined ? null : viewOfBudget(touch.budget, touch), noBudget: touch.noBudget ?? '',
    ruleWords: stepRuleInWords(touch.limits, touch.function, touch.unit, touch.rule), meter: meterOf(state, touch), conversions: touch.conversions, seconds: touch.seconds,
    sd: figure(touch.sd === null ? null : Number(touch.sd.toPrecision(2))), median: touch.median === null ? '' : inWords(touch.median, touch.unit, touch.resolution),
    resolution: figure(touch.resolution), range: figure(touch.range), frames: touch.raw.length,
  }
}

const fixtureWords: Record<Fixture, string> = {
  'leads-joined': 'leads joined', 'leads-apart': 'leads apart', 'known-diode': 'known diode', 'known-source': 'known source',
  'check-resistor': 'check resistor', 'check-diode': 'check diode', 'first-resistor': 'first resistor', 'second-resistor': 'second resistor',
  'diode-across-first': 'diode across the first resistor', 'diode-and-second': 'diode and second resistor in series',
}

const placementWords = (step: PlanStep | null, board: BoardType | null): string => {
  if (step?.kind !== 'measure') return ''
  const { placement } = step
  if ('fixture' in placement) return `${fixtureWords[placement.fixture]}${placement.reversed ? ', reversed' : ''}`
  return placementInWords(placement, board)
}

const plusMinus = (uncertainty: Captured['uncertainty'], unit: Captured['unit']): string => (uncertainty === null ? '' : ` ${uncertaintyWords({ uncertainty, unit })}`)

const doesNotStand = ' (earlier, does not stand)'

const foundIn = (state: RunState, { learned, earlierLearned, compared, earlierCompared, watched, earlierWatched }: StepState, step: PlanStep | null): Pick<DetailStep, 'found'> => {
  const of = step?.purpose?.kind === 'walk' ? step.purpose.of : null
  const points = [...earlierLearned, ...learned].map((point) => {
    const listed = of?.points?.[point.point - 1]
    const name = listed === undefined ? `point ${point.point}` : typeof listed === 'string' ? listed : listed.words
    return { seq: point.seq, utc: point.utc, words: `${step !== null && elsewhereOf(step) !== null ? '' : `${name}: `}${valueInWords(point.value, point.function, point.unit, point.resolution)}${plusMinus(point.uncertainty, point.unit)}, ${point.evidence}${earlierLearned.includes(point) ? doesNotStand : ''}`, meter: meterOf(state, point), frames: point.raw.length }
  })
  const followed = [...earlierWatched, ...(watched === null ? [] : [watched])].flatMap((one) => watchedLines(one).map((words) => (
    { seq: one.seq, utc: one.utc, words: `${words}${one === watched ? '' : doesNotStand}`, meter: meterOf(state, one), frames: one.raw.length }
  )))
  const beside = [...earlierCompared, ...compared].map((good) => ({ seq: good.seq, utc: good.utc, words: `on the good board: ${goodInWords(good)}${plusMinus(good.uncertainty, good.unit)}, ${good.evidence}${earlierCompared.includes(good) ? doesNotStand : ''}`, meter: meterOf(state, good), frames: good.raw.length }))
  return points.length + followed.length + beside.length === 0 ? {} : { found: [...beside, ...points, ...followed] }
}

const endedBy: Record<Watched['ended'], string> = { press: 'a press', time: 'its time', interrupted: 'an interruption' }

const watchedLines = ({ minimum, maximum, unit, resolution, dropouts, seconds, limits, ended }: Watched): string[] => {
  const line = (name: string, extreme: typeof minimum): string[] => (extreme === null ? [] : [`${name} ${inWords(extreme.value, unit, resolution)}${plusMinus(extreme.uncertainty, unit)}, at ${extreme.at.toFixed(1)} s`])
  return [
    ...(minimum === null ? ['no contact'] : [...line('minimum', minimum), ...line('maximum', maximum)]),
    ...dropouts.map(({ at, seconds: lasted, shows }) => `dropout at ${at.toFixed(1)} s for ${lasted.toFixed(1)} s, ${shows === 'jump' ? 'a jump' : 'no contact'}`),
    `followed for ${seconds.toFixed(1)} s, ended by ${endedBy[ended]}; limits ${limits === null ? 'none' : limitsInWords(limits, unit)}`,
  ]
}

const detailOf = (state: RunState, board: BoardType | null, id: string, step: PlanStep | null): DetailStep => {
  const own = stepState(state, id)
  const standing = standingTouch(own)
  const measured = step?.kind === 'measure' ? step : null
  return {
    id, title: step?.title ?? id, kind: step?.kind ?? 'unknown', preparation: isPreparation(id), placement: placementWords(step, board),
    function: measured?.function ?? standing?.function ?? null,
    limits: measured === null ? '' : elsewhereOf(measured) !== null ? expectedInWords(elsewhereExpected(state, id), measured.function, readElsewhere(own)) : takesAnything(measured) ? '' : judgedLimitsInWords(state, measured, standing),
    parts: step?.parts ?? [], means: step?.means ?? '',
    verdict: own.decided?.verdict ?? null, skipReason: own.skipped?.reason ?? null, done: own.done === null ? null : doneWords(step?.kind ?? 'unknown', own.done.note ?? null), notes: own.notes,
    values: [...own.earlier.map((touch) => valueOf(state, touch, false)), ...own.captured.map((touch) => valueOf(state, touch, touch === standing))].sort((a, b) => a.seq - b.seq),
    ...(own.watched === null ? {} : { watched: watchInWords(own.watched) }), ...foundIn(state, own, step),
  }
}

/** Steps that anything is known of, in the order of the plan; those the plan does not know behind them. */
const stepIds = (state: RunState, plan: Plan | null): string[] => {
  const made = Object.keys(state.steps)
  if (plan === null) return made
  const known = [...plan.preparation.filter(({ id }) => made.includes(id)), ...plan.steps, ...elsewhereMade(plan, made)].map(({ id }) => id)
  return [...known, ...made.filter((id) => !known.includes(id))]
}

/** @param board the board file of the run; null where it is missing. */
export const truthOf = (state: RunState, board: BoardType | null, way: KnownWay): string | null =>
  state.ended === null ? null : truthInWords(state, board, way)

/** @param board the board file the run was made with; null where it is missing. @param way what is known of the shortest way of a practice run by hand. @param doubted by a failed check. */
export const runDetailOf = (state: RunState, board: BoardType | null, way: KnownWay = 'sought', doubted = false): RunDetail => {
  const plan = planOfRun(state, board)
  const title = (id: string): string => (plan === null ? null : planStep(plan, id))?.title ?? id
  const standing = new Set(state.standing.map(({ seq }) => seq))
  const { kit } = state.started
  return {
    head: headOf(state, plan), rule: ruleName(state.started.rule), boardKnown: plan !== null, meterFacts: meterFactsOf(state, doubted), noRecord: noRecordOf(state), noRepair: refusalToRead(state, plan),
    kit: [`known diode: ${kit.knownDiode.label}`, `known source: ${kit.knownSource.label}`, ...(kit.knownResistor === null ? [] : [`known resistor: ${kit.knownResistor.label}`]),
      ...kitStandards(kit).map((standard) => `check ${standard.kind}: ${standard.label}, certificate ${standard.certificateNumber}`)],
    steps: stepIds(state, plan).map((id) => detailOf(state, plan?.board ?? null, id, plan === null ? null : planStep(plan, id))),
    notes: state.events.flatMap((event) => (event.kind === 'noted' && event.step === null ? [event.text] : [])),
    truth: truthOf(state, board, way),
    events: state.events.map((event) => ({ seq: event.seq, utc: event.utc, words: eventInWords(event, title, plan?.board), undone: event.kind !== 'undone' && !standing.has(event.seq) })),
  }
}

/** Frames of one event, in hex and as text. Null where the event is nothing that a meter showed. */
export const framesOf = (event: RunEvent | null): FrameView[] | null =>
  event !== null && isTouched(event) ? event.raw.map((hex) => ({ hex, text: textOf(hex) })) : null

/** Printable ASCII, without the line end; null where a byte is anything else. */
const textOf = (hex: string): string | null => {
  const bytes = (hex.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16))
  const last = bytes.findLastIndex((byte) => byte !== 0x0d && byte !== 0x0a)
  const shown = bytes.slice(0, last + 1)
  return shown.length > 0 && shown.every((byte) => byte >= 0x20 && byte < 0x7f) ? String.fromCharCode(...shown) : null
}
