/** The plan of a run: the board's own steps behind the preparation that core makes from its energy stores and the bench kit. */
import type { BoardType, Branch, MeasureStep, Step, WalkPlace, WalkStep, WatchStep } from '../board/board-type'
import { tipName } from '../board/lifted-leg'
import type { LeftState } from '../board/part-state'
import type { MeterFunction } from '../meter/reading'
import type { CheckKind } from '../metrology/check-standards'
import type { FitPlacement } from '../metrology/fit-source'
import type { Limits } from '../metrology/limits'
import { asksMeter, type ComputedLimits } from '../circuit/computed-limits'
import type { LimitsOfGoodBoards } from './good-values'
import type { Compared, RunState } from './state'
import { anyValue, learningStep } from './walk'

export const fixtures = [
  'leads-joined', 'leads-apart', 'known-diode', 'known-source', 'check-resistor', 'check-diode',
  'first-resistor', 'second-resistor', 'diode-across-first', 'diode-and-second',
] as const
export type Fixture = (typeof fixtures)[number]
/** `point`: of a walk, the point of this number, which is no test point; `spot` and `words` where the board file has them. */
export type Placement =
  | { red: string; black: string } | { fixture: Fixture; reversed: boolean }
  | { point: number; words: string | null; spot: Omit<WalkPlace, 'words'> | null; black: string }

/** "red J1.2, black R3.2", "red on point 3, black C8.2"; empty for a fixture. @param board names the legs of its parts. */
export const placementInWords = (placement: Placement, board: BoardType | null = null): string => {
  if ('fixture' in placement) return ''
  return 'red' in placement ? `red ${tipName(board, placement.red)}, black ${tipName(board, placement.black)}` : `red ${placement.words ?? `on point ${placement.point}`}, black ${placement.black}`
}

/** Both leads on test points or lifted legs, which have nets; null: they are not. */
export const onTestPoints = (placement: Placement): { red: string; black: string } | null => ('red' in placement ? placement : null)

/** What a step is there for that is more than one measurement for its own sake. */
export type Purpose =
  | { kind: 'learn-air' } | { kind: 'known-diode' } | { kind: 'leads' } | { kind: 'source' }
  | { kind: 'disconnect' }
  /** `board`: which of two; missing: the one under test. */
  | { kind: 'store'; store: string; when: 'first' | 'again'; board?: 'good' }
  | { kind: 'discharge'; store: string; board?: 'good' }
  | { kind: 'standard'; standard: CheckKind }
  | { kind: 'source-fit'; placement: FitPlacement }
  /** One point of a walk; `learns`: nothing is judged, `says`: what it is judged by. */
  | { kind: 'walk'; of: WalkStep; number: number; learns: boolean; says?: string }
  /** Chosen by the technician, not of the sequence. `then`: the step that is asked for behind it; `legs`: ids of those that were lifted then. */
  | { kind: 'elsewhere'; then: string; legs: string[] }
  /** `limited`: its limits are those of the board file; else only a dropout fails it. */
  | { kind: 'watch'; words: string; seconds: number | null; limited: boolean }

type Common = { id: string; title: string; parts: string[]; where: string; caution: string | null; means: string; then: Branch[]; purpose: Purpose | null }

export type Added = { what: string; halfWidth: number }

export type MeasurePlanStep = Common & {
  kind: 'measure'; placement: Placement; function: MeterFunction; keepsContact: boolean; powered: boolean
  /** Null: the board file has none, and none are computed, or not yet. */
  limits: Limits | null
  /** Of a step whose limits depend on the meter: what they were computed from, that typed ones stand, that good boards speak for it, or why there are none. Null: not computed yet. */
  computed?: ((ComputedLimits | LimitsOfGoodBoards) & { celsius: readonly [number, number] }) | null
  /** The board is in another state than its limits are for: nothing is judged. `remedy`: the steps that bring it there, where some do. */
  otherState?: { because: string; remedy: string[] }
  /** In a run beside a good board: which board it is asked for on; `own`: its limits, `good`: what the good one came to, null: it was left out. */
  beside?: { board: 'good'; own: Limits | null } | { board: 'under-test'; good: Compared | null }
  /** What the board type adds to the uncertainty of this step, each within ± halfWidth, SI. */
  adds?: Added[]
}
/** A step that a value can be judged in. */
export type JudgedStep = MeasurePlanStep & { limits: Limits }
export type ActPlanStep = Common & { kind: 'look' | 'do'; words: string; /** What it leaves lifted or removed, or puts back. */ leaves?: LeftState[]; /** UTC: not done before. */ readyUtc?: string }
export type PlanStep = MeasurePlanStep | ActPlanStep

/** `elsewhere`: placements the technician chose in this run; missing: none. */
export type Plan = { board: BoardType; preparation: PlanStep[]; steps: PlanStep[]; elsewhere?: MeasurePlanStep[] }

/** What the file says of every step of this function holds for a walk and a watch as well. */
const addedOf = (board: BoardType, step: MeasureStep | WalkStep | WatchStep): { adds?: Added[] } => {
  const adds = [...(board.addedUncertainty ?? []).filter((each) => each.function === step.function), ...(step.kind === 'measure' ? step.addedUncertainty ?? [] : [])]
  return adds.length === 0 ? {} : { adds: adds.map(({ what, plusMinus }) => ({ what, halfWidth: plusMinus })) }
}

const watchStep = (common: Common, step: WatchStep): MeasurePlanStep => ({
  ...common, kind: 'measure', placement: { red: step.red, black: step.black }, function: step.function, limits: step.limits ?? anyValue, keepsContact: false, powered: step.powered ?? false,
  purpose: { kind: 'watch', words: step.words, seconds: step.seconds ?? null, limited: step.limits !== undefined },
})

const fromBoard = (board: BoardType, step: Step): PlanStep => {
  if (step.kind === 'walk') return { ...learningStep(step), ...addedOf(board, step) }
  const common: Common = {
    id: step.id, title: step.title, parts: step.parts, where: step.where ?? '', caution: step.caution ?? null,
    means: step.means ?? '', then: step.then, purpose: null,
  }
  if (step.kind === 'watch') return { ...watchStep(common, step), ...addedOf(board, step) }
  const asked: boolean = asksMeter(step)
  return step.kind === 'measure'
    ? {
        ...common, kind: 'measure', placement: { red: step.red, black: step.black }, function: step.function, limits: asked ? null : step.limits ?? null,
        ...(asked ? { computed: null } : {}), keepsContact: step.keepsContact ?? false, powered: step.powered ?? false,
        ...addedOf(board, step),
      }
    : { ...common, kind: step.kind, words: step.words, ...(step.kind === 'do' && step.leaves !== undefined ? { leaves: step.leaves } : {}) }
}

export const makePlan = (board: BoardType, preparation: PlanStep[]): Plan =>
  ({ board, preparation, steps: board.sequence.steps.map((step) => fromBoard(board, step)) })

export const hasLimits = (step: MeasurePlanStep): step is JudgedStep => step.limits !== null

/** The plan with the limits that were computed for this run and its present meter. */
export const withComputedLimits = (plan: Plan, limits: Pick<NonNullable<RunState['limits']>, 'celsius' | 'steps'> | null): Plan => ({
  ...plan, steps: plan.steps.map((step): PlanStep => {
    if (step.kind !== 'measure' || step.computed === undefined) return step
    const own = limits?.steps[step.id]
    return limits === null || own === undefined ? { ...step, limits: null, computed: null }
      : { ...step, limits: 'limits' in own ? own.limits : null, computed: { ...own, celsius: limits.celsius } }
  }),
})

/** Of the sequence, where no branch leads elsewhere. */
export const stepBehind = (plan: Plan, id: string): string => plan.steps[plan.steps.findIndex((step) => step.id === id) + 1]?.id ?? 'end'

export const planStep = (plan: Plan, id: string): PlanStep | null =>
  plan.preparation.find((step) => step.id === id) ?? plan.steps.find((step) => step.id === id) ?? plan.elsewhere?.find((step) => step.id === id) ?? null

/** Resistance, continuity, diode, capacitance and inductance need a board proven de-energised (capture.md, rule 13), and so does whatever is read elsewhere. */
export const needsProof = (step: PlanStep): boolean =>
  step.kind === 'measure' && (step.purpose?.kind === 'elsewhere' || ['resistance', 'continuity', 'diode', 'capacitance', 'inductance'].includes(step.function))

/** Learning, fitting and measuring elsewhere take what comes: their limits mean nothing to anyone. */
export const takesAnything = ({ purpose }: PlanStep): boolean => purpose?.kind === 'learn-air' || purpose?.kind === 'source-fit' || purpose?.kind === 'elsewhere'
  || (purpose?.kind === 'walk' && purpose.learns) || (purpose?.kind === 'watch' && !purpose.limited)

/** How a step is made: one touch after the other, or as a walk or a watch. */
export const mannerOf = ({ kind, purpose }: PlanStep): Step['kind'] => (purpose?.kind === 'walk' || purpose?.kind === 'watch' ? purpose.kind : kind)

/** Whether any step of the run, preparation included, asks for this function. */
export const usesFunction = (plan: Plan, what: MeterFunction): boolean =>
  [...plan.preparation, ...plan.steps].some((step) => step.kind === 'measure' && step.function === what)
