/** Before the run: the steps whose limits stand too close together for this meter. */
import type { BoardType } from '../board/board-type'
import { takesLeadOff } from '../capture/captured-value'
import type { MeterDescription } from '../meter/description'
import { accuracyOf, type StatedAccuracy } from '../meter/accuracy-of'
import type { Meter } from '../meter/instrument'
import { hasLimits, makePlan, type MeasurePlanStep } from '../run/plan'
import { toleranceInterval } from './interval'
import type { Limits } from './limits'
import { noScatter, pooledAt, type Scatter } from './scatter'
import { valueBudget, type ValueFacts } from './value-budget'

/** Full scale of the lowest range and the counts it is shown with, SI. */
export type Display = { lowestRange: number; counts: number }
export type Adequacy = { width: number; U: number; enough: boolean }

/** A limit width under 3 · 2U is not enough: a measurement capability index under 3 (JCGM 106:2012, 7.6.3; from memory). */
const leastCapability = 3

/** Full scale of the range that shows a value: ranges go up in decades (common practice, no source). */
export const rangeAt = (value: number, { lowestRange }: Pick<Display, 'lowestRange'>): number => {
  const decades = Math.max(0, Math.ceil(Math.log10(Math.abs(value) / lowestRange) - 1e-9))
  return lowestRange * 10 ** (Number.isFinite(decades) ? decades : 0)
}

/** One count on the range that shows a value. */
export const countAt = (value: number, display: Display): number => rangeAt(value, display) / display.counts

type TwoSided = Parameters<typeof toleranceInterval>[0]

/** The limit further from zero: shown on the highest range, where the meter is worst. */
const furthestOf = (limits: TwoSided): number => Math.max(...toleranceInterval(limits).map(Math.abs))

/** What is known of the meter and the board type before the value is. */
export type KnownBefore = Pick<ValueFacts, 'function' | 'accuracy'> & Partial<Pick<ValueFacts, 'conditions' | 'repeatability' | 'contact' | 'lead' | 'board'>>

/**
 * Width of the limits against the uncertainty at the larger of them: the budget that a value there would get from what is known of the
 * meter by now. Null for limits with one side or none: they have no width. One-sided limits are watched by the coarseness rule of capture.
 */
export const adequacy = (limits: Limits, display: Display, known: KnownBefore): Adequacy | null => {
  if (limits === 'open' || limits === 'short' || 'atMost' in limits || 'atLeast' in limits) return null
  const [lo, hi] = toleranceInterval(limits)
  const furthest = furthestOf(limits)
  const found = valueBudget({
    conditions: null, repeatability: null, contact: null, board: [], ...known, lead: known.lead === undefined ? 'measured' : known.lead,
    value: furthest, shown: furthest, resolution: countAt(furthest, display), sd: null, conversions: 1, independent: 1, surroundings: { celsius: null, monthsSinceCalibration: null },
  })
  return 'refused' in found ? null : { width: hi - lo, U: found.U, enough: hi - lo >= leastCapability * 2 * found.U }
}

type Known = StatedAccuracy & Partial<Pick<Meter, 'leadCheck'>>

/** Leads not checked yet will be before the run; until then no more is known of them than one count of a check. */
const leadBefore = (fn: MeasurePlanStep['function'], leadCheck: Meter['leadCheck'], furthest: number, count: number): ValueFacts['lead'] => (
  leadCheck === null ? { ohms: 0, standard: count / Math.sqrt(12), degrees: null, takenOff: true }
    : { ohms: leadCheck.ohms, standard: leadCheck.U / 2, degrees: null, takenOff: takesLeadOff({ function: fn, lead: leadCheck }, furthest, count) })

const knownBefore = (step: MeasurePlanStep, meter: Known, display: Display, scatter: Scatter): KnownBefore => {
  const { function: fn, limits } = step
  const furthest = limits === null || typeof limits === 'string' || 'atMost' in limits || 'atLeast' in limits ? null : furthestOf(limits)
  const range = furthest === null ? null : rangeAt(furthest, display)
  const place = { function: fn, range }
  return {
    function: fn, accuracy: accuracyOf(meter, fn, range), conditions: meter.register.conditions, board: step.adds ?? [],
    repeatability: pooledAt(scatter, place, 'repeatability'), contact: pooledAt(scatter, place, 'contact'),
    lead: furthest === null ? null : leadBefore(fn, meter.leadCheck ?? null, furthest, countAt(furthest, display)),
  }
}

/** Ids of the board's measured steps with limits (computed ones filled in beforehand) for which “this meter is not good enough here”, in their order. */
export const tooCoarseSteps = (
  board: BoardType, meter: Known, description: Pick<MeterDescription, 'functions'>, scatter: Scatter = noScatter,
): string[] => {
  const described = Object.values(description.functions)
  return makePlan(board, []).steps.flatMap((step) => {
    if (step.kind !== 'measure' || !hasLimits(step)) return []
    const display = described.find((f) => f.is === step.function)
    const found = display === undefined ? null : adequacy(step.limits, display, knownBefore(step, meter, display, scatter))
    return found !== null && !found.enough ? [step.id] : []
  })
}
