/** What a preparation step teaches about the meter: its leads, its diode check, its known source; a failed one takes the old away. */
import type { AirPattern, Meter } from '../meter/instrument'
import { leadCheckU } from '../metrology/uncertainty'
import type { Bench } from './bench'
import type { CapturedBody } from './event'
import type { PlanStep } from './plan'
import { stepState } from './state'

/** The service keeps it with the meter. */
export type MeterPatch = Partial<Pick<Meter, 'air' | 'leadCheck' | 'diodeCheck' | 'sourceCheck' | 'register'>>

/** The forward voltage of the known diode, once the reversed touch has shown that the leads are the right way round. */
const diodeCheckOf = (bench: Bench, step: PlanStep, utc: string): MeterPatch | null => {
  const forward = stepState(bench.run, 'prepare/known-diode').captured.at(-1)?.value
  return step.id === 'prepare/known-diode-reversed' && typeof forward === 'number' ? { diodeCheck: { utc, forwardVolts: forward, run: bench.run.started.run } } : null
}

/** A check that failed leaves nothing of the old one: it is made again before the next part. */
export const unlearned = (step: PlanStep): MeterPatch | null => {
  switch (step.purpose?.kind) {
    case 'leads': return { leadCheck: null }
    case 'source': return { sourceCheck: null }
    case 'known-diode': return { diodeCheck: null }
    default: return null
  }
}

export const taught = (bench: Bench, step: PlanStep, touch: CapturedBody): MeterPatch | null => {
  const utc = new Date(bench.utcMs).toISOString()
  const { run } = bench.run.started
  const { value, resolution } = touch
  if (step.purpose?.kind === 'known-diode') return diodeCheckOf(bench, step, utc)
  if (typeof value !== 'number' || resolution === null) return null
  switch (step.purpose?.kind) {
    case 'leads': return {
      leadCheck: { utc, ohms: value, U: leadCheckU(resolution, touch.sd), resolution, run },
      air: bench.context.meter.air.map((pattern): AirPattern => (pattern.function === 'resistance' ? { ...pattern, joined: { from: 0, to: value } } : pattern)),
    }
    case 'source': return { sourceCheck: { utc, volts: value, run } }
    default: return null
  }
}
