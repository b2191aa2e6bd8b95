/** A placement of the technician's own choice: a step of its run that is not of the sequence. It is recorded and not judged, and the sequence goes on where it was. */
import type { BoardType } from '../board/board-type'
import { partOfLeg, tipName } from '../board/lifted-leg'
import { legsOf } from '../circuit/diagnose/lifted-legs'
import type { Limits } from '../metrology/limits'
import { boardStateOf } from './board-state'
import type { RunEvent, RunEventBody } from './event'
import type { MeasurePlanStep, Plan, PlanStep, Purpose } from './plan'
import { hazardousCaution, usualResidualVolts } from './preparation'
import type { Learned, RunState, StepState } from './state'
import { anyValue } from './walk'

type Chosen = Extract<RunEvent, { kind: 'elsewhere' }>
type Elsewhere = Extract<Purpose, { kind: 'elsewhere' }>

/** Ids in a board file have no colon. @param number from 1. */
export const elsewhereId = (number: number): string => `elsewhere:${number}`
export const isElsewhere = (step: string): boolean => step.startsWith('elsewhere:')

export const elsewhereOf = ({ purpose }: PlanStep): Elsewhere | null => (purpose?.kind === 'elsewhere' ? purpose : null)

/** Across a capacitor off its pad, to see that it holds nothing. */
export const isVoltsElsewhere = (step: MeasurePlanStep): boolean => elsewhereOf(step) !== null && step.function === 'dc-voltage'

/** Off its pad a capacitor is no store of the board that the preparation empties and proves. */
const chargeCaution = (board: BoardType, tips: readonly string[], volts: boolean): string | null => {
  const refs = new Set(tips.flatMap((id) => { const part = partOfLeg(board, id)?.part; return part?.kind === 'capacitor' ? [part.ref] : [] }))
  if (refs.size === 0) return null
  const named = [...refs].join(' and ')
  return `${board.hazard === 'hazardous' ? `${hazardousCaution} ` : ''}${volts ? `${named} may still hold a charge: the preparation did not empty it. Discharge it through a resistor, never with a screwdriver; then see here that it reads 0 V DC.`
    : `${named} read 0 V DC since it was lifted. If anything may have charged it again, go back and measure DC volts across it once more.`}`
}

const elsewhereStep = (board: BoardType, legs: string[], { step, red, black, function: what, then }: Chosen): MeasurePlanStep => ({
  kind: 'measure', id: step, title: `Elsewhere ${tipName(board, red)}, ${tipName(board, black)}`, parts: [], where: '', caution: chargeCaution(board, [red, black], what === 'dc-voltage'), means: '', then: [],
  placement: { red, black }, function: what, limits: what === 'dc-voltage' ? { between: [-usualResidualVolts, usualResidualVolts] } : anyValue, keepsContact: false, powered: false, purpose: { kind: 'elsewhere', then, legs },
})

/** The plan with what was chosen so far in this run, taken back or not. */
export const withElsewhere = (plan: Plan, events: readonly RunEvent[]): Plan => {
  const chosen = events.filter((event) => event.kind === 'elsewhere')
  const [started] = events
  if (started?.kind !== 'started' || chosen.length === (plan.elsewhere?.length ?? 0)) return plan
  return { ...plan, elsewhere: chosen.map((one) => elsewhereStep(plan.board, legsOf(boardStateOf(plan, { events: [...events], started }, one.seq)).map(({ id }) => id), one)) }
}

/** Steps of the technician's choice that anything is known of. @param made ids of those. */
export const elsewhereMade = (plan: Plan, made: readonly string[]): MeasurePlanStep[] => (plan.elsewhere ?? []).filter(({ id }) => made.includes(id))

export type ElsewhereExpected = Pick<Extract<RunEventBody, { kind: 'elsewhere-computed' }>, 'celsius' | 'expected'>

/**
 * What a good board reads there with the meter its value was read with, or with the present one where there is none yet; null: not computed so far.
 */
export const elsewhereExpected = ({ events, steps }: Pick<RunState, 'events' | 'steps'>, step: string): ElsewhereExpected | null => {
  const metersUntil = (seq: number): number => events.filter((event) => event.kind === 'meter-back' && !event.same && event.seq <= seq).length
  const own = steps[step]
  const read = own === undefined ? null : readElsewhere(own)
  const found = events.findLast((event) => event.kind === 'elsewhere-computed' && event.step === step && metersUntil(event.seq) === metersUntil(read?.seq ?? Infinity))
  return found?.kind === 'elsewhere-computed' ? found : null
}

/** What a value is held against there, and judged by nothing; null: this is no such step, or nothing is computed. */
export const elsewhereLimits = (run: Pick<RunState, 'events' | 'steps'>, step: PlanStep): Limits | null => {
  const known = elsewhereOf(step) === null ? null : elsewhereExpected(run, step.id)
  return known === null || 'refused' in known.expected ? null : known.expected.limits
}

/** What was read there; null: nothing stands. */
export const readElsewhere = ({ learned, decided, skipped }: Pick<StepState, 'learned' | 'decided' | 'skipped'>): Learned | null =>
  (decided === null || skipped !== null ? null : learned.at(-1) ?? null)
