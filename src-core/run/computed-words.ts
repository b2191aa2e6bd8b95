/** What is said of limits that nobody typed: on the bench, in the verdict, in the record. */
import type { BoardType } from '../board/board-type'
import { type ComputedLimits, type LimitSource, type MadeLimits, wereMade } from '../circuit/computed-limits'
import { unitOf, type MeterFunction, type UnitSymbol } from '../meter/reading'
import type { Limits } from '../metrology/limits'
import { decide } from '../metrology/decide'
import { limitsInWords } from '../metrology/limits-in-words'
import { sourceFigures } from '../metrology/limits-source'
import { inWords } from '../quantity/engineering'
import { goodBefore } from './beside'
import type { ElsewhereExpected } from './elsewhere'
import type { LimitsOfGoodBoards } from './good-values'
import { makePlan, withComputedLimits, type MeasurePlanStep, type Plan } from './plan'
import { stepState, type Captured, type Compared, type Learned, type RunState } from './state'

type InForce = MadeLimits & { celsius: readonly [number, number] }

type Touch = Pick<Captured, 'step' | 'seq'>

/** The good board beside, where its value made the limits of this touch; null: it did not. */
export const heldTo = (state: Pick<RunState, 'events'>, touch: Touch): Compared | null => {
  const good = goodBefore(state, touch)
  return good === null || good.limits === null ? null : good
}

const inForce = (state: Pick<RunState, 'events'>, touch: Touch) => {
  if (heldTo(state, touch) !== null) return null
  const made = state.events.findLast((event) => event.kind === 'limits-computed' && event.seq < touch.seq)
  return made?.kind === 'limits-computed' ? { own: made.steps[touch.step], celsius: made.celsius } : null
}

/** What the limits of this touch were computed from; null: they were not. */
export const computedOf = (state: Pick<RunState, 'events'>, touch: Touch): InForce | null => {
  const made = inForce(state, touch)
  return made?.own !== undefined && wereMade(made.own) ? { ...made.own, celsius: made.celsius } : null
}

/** What the shop's good boards said for this touch; null: its limits are not theirs. */
export const goodBoardsOf = (state: Pick<RunState, 'events'>, touch: Touch): LimitsOfGoodBoards | null => {
  const own = inForce(state, touch)?.own
  return own !== undefined && 'uncomputed' in own ? own : null
}

/** Where limits come from that nobody typed for this step. */
export type Origin = 'computed' | 'good boards' | 'good board beside'

export const limitsWithOrigin = (limits: Limits, unit: UnitSymbol, origin: Origin | null): string => `${limitsInWords(limits, unit)}${origin === null ? '' : `, ${origin}`}`

/** Of a step of a run; null: typed. */
export const originOfStep = ({ computed, beside }: Pick<MeasurePlanStep, 'computed' | 'beside'>): Origin | null => {
  if (beside?.board === 'under-test' && beside.good !== null && beside.good.limits !== null) return 'good board beside'
  if (computed === undefined || computed === null) return null
  return wereMade(computed) ? 'computed' : 'uncomputed' in computed ? 'good boards' : null
}

const originOfTouch = (state: Pick<RunState, 'events'>, touch: Touch): Origin | null =>
  (heldTo(state, touch) !== null ? 'good board beside' : computedOf(state, touch) !== null ? 'computed' : goodBoardsOf(state, touch) !== null ? 'good boards' : null)

/** "4.32 kΩ to 6.70 kΩ, computed". */
export const stepLimitsInWords = ({ limits, computed, beside, otherState, function: what }: Pick<MeasurePlanStep, 'limits' | 'computed' | 'beside' | 'otherState' | 'function'>): string => {
  if (beside?.board === 'good') return beside.own === null ? 'by the good board' : limitsWithOrigin(beside.own, unitOf[what], originOfStep({ computed }))
  if (limits !== null) return limitsWithOrigin(limits, unitOf[what], originOfStep({ computed, ...(beside === undefined ? {} : { beside }) }))
  if (otherState !== undefined) return 'for another state'
  return computed === undefined || computed === null ? 'being computed' : 'none on this meter'
}

/** Of a step of a run: those its value was judged with; without a value those it would be, or that there were none. */
export const judgedLimitsInWords = (state: Pick<RunState, 'events' | 'ended'>, step: MeasurePlanStep, touch: Captured | null): string => {
  if (touch !== null) return touchLimitsInWords(state, touch)
  return state.ended !== null && step.limits === null && (step.computed ?? null) === null ? 'not computed' : stepLimitsInWords(step)
}

/** Of one touch: as it was judged. */
export const touchLimitsInWords = (state: Pick<RunState, 'events'>, touch: Pick<Captured, 'step' | 'seq' | 'limits' | 'unit'>): string =>
  limitsWithOrigin(touch.limits, touch.unit, originOfTouch(state, touch))

const figure = (value: number | 'overload', what: MeterFunction): string =>
  (value === 'overload' ? 'open' : inWords(Number(value.toPrecision(3)), unitOf[what], null))

const whoseSource = (source: LimitSource | null): string => (source === null ? 'no source' : source.typical ? 'a typical meter source' : 'this meter’s own source')

/** "15 °C to 35 °C" */
const celsiusInWords = ([from, to]: readonly [number, number]): string => `${from} °C to ${to} °C`

/** For a record: with every figure of the source. */
export const sourceInWords = (source: LimitSource | null): string => {
  if (source === null) return 'no direct current drives the tips'
  return `${source.typical ? 'a typical meter source' : 'the meter’s own source'} of ${sourceFigures(source)}`
}

/** Behind the name of the board file it was computed from. */
export const originInWords = ({ source, celsius, instead }: Pick<InForce, 'source' | 'celsius' | 'instead'>): string =>
  `${sourceInWords(source)}; good boards from ${celsiusInWords(celsius)}${instead === undefined ? '' : `; those in the file were made with ${sourceFigures(instead)}`}`

/** Beside the step on the bench; empty where its limits stand in the board file. */
export const computedOnBench = (step: MeasurePlanStep): string => {
  const { computed, otherState, function: what } = step
  if (otherState !== undefined) return `Not judged so: ${otherState.because.charAt(0).toLowerCase()}${otherState.because.slice(1)}`
  if (computed === undefined) return ''
  if (computed === null) return 'The limits of this step are being computed for this meter.'
  if (step.beside !== undefined && (step.beside.board === 'good' || (step.beside.good !== null && step.beside.good.limits !== null))) return ''
  if ('madeWith' in computed) return `Limits of the board file, made with ${sourceFigures(computed.madeWith)}: a good board reads alike with this meter’s source.`
  if ('refused' in computed) return `No limits for this step: ${computed.refused} Skip it, or write limits into the board file.`
  if ('uncomputed' in computed) return `Limits from good boards of this shop: ${computed.says}`
  const again = computed.instead === undefined ? 'Limits computed' : `Limits computed again, since those of the board file were made with ${sourceFigures(computed.instead)}`
  return `${again}: a good board reads ${figure(computed.value, what)} (${whoseSource(computed.source)}, ${celsiusInWords(computed.celsius)}).`
}

/** While a placement elsewhere is asked for. @param known null: not computed yet. */
export const expectedOnBench = (known: ElsewhereExpected | null, what: MeterFunction): string => {
  if (known === null) return 'What a good board reads here is being computed.'
  const { expected: own, celsius } = known
  if ('refused' in own) return `What a good board reads here is not computed: ${own.refused}`
  return `Computed: a good board reads ${figure(own.value, what)} (${whoseSource(own.source)}, ${celsiusInWords(celsius)}).`
}

/** Whether the value lies where good boards read, by simple acceptance; null: it is not computed where they do. */
export const isAsExpected = (known: ElsewhereExpected | null, { value, function: what, evidence }: Pick<Learned, 'value' | 'function' | 'evidence'>): boolean | null => (known === null || 'refused' in known.expected ? null
  : decide(value, known.expected.limits, null, { kind: 'simple-acceptance', r: 0 }, { function: what, inAir: evidence === 'confirmed' || evidence === 'proven' }) === 'pass')

/** Beside a value read elsewhere: "outside; good board 220 Ω, 209 Ω to 231 Ω, computed". @param read null: nothing is read yet. */
export const expectedInWords = (known: ElsewhereExpected | null, what: MeterFunction, read: Learned | null): string => {
  if (known === null || 'refused' in known.expected) return ''
  const { value, limits } = known.expected
  const [usual, within] = [figure(value, what), limitsInWords(limits, unitOf[what])]
  const so = read === null ? null : isAsExpected(known, read)
  return `${so === null ? '' : so ? 'inside; ' : 'outside; '}good board ${usual === within ? usual : `${usual}, ${within}`}, computed`
}

/** For the Boards screen, by the ids of the steps without limits in the file. @param answer null while they are being computed. */
export const computedOfBoard = (board: BoardType, answer: { celsius: [number, number]; steps: Record<string, ComputedLimits> } | null): Record<string, { limits: string; says: string }> =>
  Object.fromEntries(withComputedLimits(makePlan(board, []), answer).steps.flatMap((step) => (
    step.kind !== 'measure' || step.computed === undefined ? [] : [[step.id, { limits: stepLimitsInWords(step), says: computedOnBench(step) }]])))

const mostNamed = 4

const namedSteps = (steps: readonly { title: string }[]): string =>
  steps.slice(0, mostNamed).map(({ title }) => title).join('; ') + (steps.length > mostNamed ? ` and ${steps.length - mostNamed} more` : '')

/** Which verdicts of a run stand on limits that nobody typed; empty: none. */
export const untypedInVerdict = (plan: Plan, state: RunState): string => {
  const touched = plan.steps.flatMap(({ id, title }) => { const touch = stepState(state, id).captured.at(-1); return touch === undefined ? [] : [{ title, touch }] })
  const byGood = touched.filter(({ touch }) => goodBoardsOf(state, touch) !== null)
  const byBeside = touched.filter(({ touch }) => heldTo(state, touch) !== null)
  return `${computedInVerdict(state, touched)}${byBeside.length === 0 ? '' : ` Held to a good board measured beside it: ${namedSteps(byBeside)}.`}${byGood.length === 0 ? '' : ` Limits from good boards of this shop: ${namedSteps(byGood)}.`}`
}

const computedInVerdict = (state: RunState, touched: readonly { title: string; touch: Captured }[]): string => {
  const steps = touched.flatMap(({ title, touch }) => { const made = computedOf(state, touch); return made === null ? [] : [{ title, made }] })
  const [first] = steps
  if (first === undefined) return ''
  const whose = [...new Set(steps.map(({ made }) => whoseSource(made.source)))].join(' and ')
  return ` Limits computed for a good board, with ${whose}, ${celsiusInWords(first.made.celsius)}: ${namedSteps(steps)}.`
}
