/** Before the run: the steps whose limits stand too close together for this meter. */
import type { BoardType } from '../board/board-type'
import type { MeterDescription } from '../meter/description'
import { accuracyOf, type StatedAccuracy } from '../meter/accuracy-of'
import type { Accuracy } from '../meter/instrument'
import { toleranceInterval } from './interval'
import type { Limits } from './limits'
import { expandedUncertainty } from './uncertainty'

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

/**
 * Width of the limits against the uncertainty at the larger of them, before anything is measured (no repeatability yet).
 * Null for limits with one side or none: they have no width. One-sided limits are watched by the coarseness rule of capture.
 */
export const adequacy = (limits: Limits, display: Display, accuracy: Accuracy | null): Adequacy | null => {
  if (limits === 'open' || limits === 'short' || 'atMost' in limits || 'atLeast' in limits) return null
  const [lo, hi] = toleranceInterval(limits)
  const furthest = furthestOf(limits)
  const uncertainty = expandedUncertainty(furthest, countAt(furthest, display), null, accuracy)
  if (uncertainty === null) return null
  return { width: hi - lo, U: uncertainty.U, enough: hi - lo >= leastCapability * 2 * uncertainty.U }
}

/** Ids of the board's measured steps for which “this meter is not good enough here”, in their order. */
export const tooCoarseSteps = (
  board: BoardType, meter: StatedAccuracy, description: Pick<MeterDescription, 'functions'>,
): string[] => {
  const described = Object.values(description.functions)
  return board.sequence.steps.flatMap((step) => {
    if (step.kind !== 'measure') return []
    const display = described.find((f) => f.is === step.function)
    if (display === undefined) return []
    const range = typeof step.limits === 'string' || 'atMost' in step.limits || 'atLeast' in step.limits ? null : rangeAt(furthestOf(step.limits), display)
    const found = adequacy(step.limits, display, accuracyOf(meter, step.function, range))
    return found !== null && !found.enough ? [step.id] : []
  })
}
