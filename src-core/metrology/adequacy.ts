/** Before the run: the steps whose limits stand too close together for this meter. */
import type { BoardType } from '../board/board-type'
import type { MeterDescription } from '../meter/description'
import type { Accuracy, Meter } from '../meter/instrument'
import { toleranceInterval } from './interval'
import type { Limits } from './limits'
import { expandedUncertainty } from './uncertainty'

/** Full scale of the lowest range and the counts it is shown with, SI. */
export type Display = { lowestRange: number; counts: number }
export type Adequacy = { width: number; U: number; enough: boolean }

/** A limit width under 3 · 2U is not enough: a measurement capability index under 3 (JCGM 106:2012, 7.6.3; from memory). */
const leastCapability = 3

/** One count on the range that shows a value: ranges go up in decades (common practice, no source). */
export const countAt = (value: number, { lowestRange, counts }: Display): number => {
  const decades = Math.max(0, Math.ceil(Math.log10(Math.abs(value) / lowestRange) - 1e-9))
  return (lowestRange / counts) * 10 ** (Number.isFinite(decades) ? decades : 0)
}

/**
 * Width of the limits against the uncertainty at the larger of them, before anything is measured (no repeatability yet).
 * Null for limits with one side or none: they have no width. One-sided limits are watched by the coarseness rule of capture.
 */
export const adequacy = (limits: Limits, display: Display, accuracy: Accuracy | null): Adequacy | null => {
  if (limits === 'open' || limits === 'short' || 'atMost' in limits || 'atLeast' in limits) return null
  const [lo, hi] = toleranceInterval(limits)
  const furthest = Math.max(Math.abs(lo), Math.abs(hi))
  const uncertainty = expandedUncertainty(furthest, countAt(furthest, display), null, accuracy)
  if (uncertainty === null) return null
  return { width: hi - lo, U: uncertainty.U, enough: hi - lo >= leastCapability * 2 * uncertainty.U }
}

/** Ids of the board's measured steps for which “this meter is not good enough here”, in their order. */
export const tooCoarseSteps = (
  board: BoardType, meter: Pick<Meter, 'accuracy'>, description: Pick<MeterDescription, 'functions'>,
): string[] => {
  const described = Object.values(description.functions)
  return board.sequence.steps.flatMap((step) => {
    if (step.kind !== 'measure') return []
    const display = described.find((f) => f.is === step.function)
    if (display === undefined) return []
    const found = adequacy(step.limits, display, meter.accuracy[step.function] ?? null)
    return found !== null && !found.enough ? [step.id] : []
  })
}
