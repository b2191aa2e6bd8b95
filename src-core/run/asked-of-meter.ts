/** What a meter that the app can set is to be set to for the step asked for (capture.md, rule 4), and where ranges alternate (rule 6). */
import { captureStatus } from '../capture/capture'
import { limitFigures } from '../capture/ranging'
import type { WantedSetting } from '../meter/scpi/session-state'
import type { Seconds } from '../quantity/units'
import { currentStep, type Bench } from './bench'
import type { MeasurePlanStep } from './plan'

/** The app sets the meter to the function of this step. */
export const isSetByApp = ({ context: { facts } }: Pick<Bench, 'context'>, step: MeasurePlanStep): boolean => facts[step.function]?.setByApp === true

/** Room for a value beyond the limits, where the meter has to be told a range (common practice, no source). */
const headroom = 1.2

/** The largest value the step expects, SI; null where it expects none. */
const expected = (step: MeasurePlanStep): number | null => {
  if (step.limits === null) return null
  const { low, high } = limitFigures(step.limits, step.function)
  const largest = Math.max(Math.abs(low ?? 0), Math.abs(high ?? 0)) * headroom
  return largest > 0 ? Number(largest.toPrecision(3)) : null
}

/** The larger of the ranges that alternate: both hold the value, and this one does not run over. */
const huntedRange = ({ capture }: Bench, at: Seconds): number | null => {
  if (capture === null || capture.contact === null || captureStatus(capture, at).kind !== 'hunting') return null
  const ranges = capture.contact.ranges.slice(-2).map(({ key }) => key)
  return ranges.reduce((most, range) => (range !== null && (most === null || range > most) ? range : most), null)
}

/** Null: nothing is measured now, or the dial is the technician's. */
export const askedOfMeter = (bench: Bench, at: Seconds): WantedSetting | null => {
  const step = currentStep(bench)
  if (step === null || step.kind !== 'measure' || bench.run.status !== 'running' || bench.asksSameMeter || !isSetByApp(bench, step)) return null
  return { step: step.id, function: step.function, range: huntedRange(bench, at) ?? 'auto', about: expected(step) }
}
