/** Whether traceability may be claimed of one figure: its meter, its function, its accuracy, and the points of the certificate that covers it. */
import { accuracyOf } from '../meter/accuracy-of'
import type { Meter } from '../meter/instrument'
import { unitOf } from '../meter/reading'
import type { CalibratedPoint } from '../meter/register'
import { readByEye, type MeterUsed } from '../run/meter-of'
import type { Captured, RunState } from '../run/state'
import { functionWords } from '../run/result-words'
import { inWords } from '../quantity/engineering'
import type { MeterSources } from './meters-of-run'
import type { RecordValue } from './step-schema'

/** What a claim looks at of a figure. */
export type Claimed = Pick<Captured, 'function' | 'range' | 'resolution' | 'value' | 'uncertainty' | 'noBudget' | 'utc'>

export type Claim = NonNullable<RecordValue['traceable']>

const no = (because: string): Claim => ({ claimed: false, because })

/** What speaks against every value of a meter, whatever was measured. */
const meterFault = (state: RunState, { id, name }: MeterUsed, meter: Meter | null, { identity, underReview }: MeterSources): string | null => {
  if (id === readByEye.id) return 'Values read by eye and typed in are not traceable.'
  if (meter === null) return `Nothing is known of ${name} any more.`
  if (meter.id === state.started.meter?.id && identity === 'assumed') return `Which meter it was, was assumed: nobody confirmed that it was ${name}.`
  return underReview ? `A later check of ${name} failed: its values of this run are under review.` : null
}

/** Ranges as descriptions and certificates name them differ by a count. */
const sameRange = (a: number, b: number): boolean => Math.abs(a - b) <= 0.002 * b

/** A point in this function and range at which the meter was further out than its stated accuracy there; a count is that of the value. */
const pointOutside = ({ function: fn, range, resolution }: Claimed, meter: Meter, points: readonly CalibratedPoint[]): CalibratedPoint | undefined =>
  points.find((point) => {
    const stated = accuracyOf(meter, fn, point.range ?? range)
    if (stated === null || resolution === null || (point.range !== null && range !== null && !sameRange(point.range, range))) return false
    const allowed = (stated.percent / 100) * Math.abs(point.shown) + stated.counts * resolution
    return Math.abs(point.shown - point.applied) > allowed * (1 + 1e-9)
  })

const functionFault = (touch: Claimed, meter: Meter): string | null => {
  const { function: fn, uncertainty, noBudget = '' } = touch
  const inFunction = `${meter.name} in ${functionWords[fn]}`
  if (uncertainty === null) return `A value of ${inFunction} has no uncertainty. ${noBudget}`.trimEnd()
  if (uncertainty.basis === 'generic') return `The accuracy of ${inFunction} is not stated: a usual one stands in.`
  const { certificate } = meter.register
  const points = certificate?.points.filter((point) => point.function === fn) ?? []
  if (points.length === 0) return `The certificate of ${meter.name} has no point in ${functionWords[fn]}.`
  const outside = pointOutside(touch, meter, points)
  const told = (value: number): string => inWords(value, unitOf[fn], null)
  return outside === undefined ? null
    : `By its certificate ${meter.name} showed ${told(outside.shown)} for ${told(outside.applied)} in ${functionWords[fn]}: that is outside its stated accuracy.`
}

/** @param meter as the register had it; null where it is not known. @returns null for an overload: it states no figure. */
export const valueClaim = (state: RunState, touch: Claimed, used: MeterUsed, meter: Meter | null, sources: MeterSources): Claim | null => {
  if (typeof touch.value !== 'number') return null
  const fault = meterFault(state, used, meter, sources)
  if (fault !== null || meter === null) return no(fault ?? '')
  const judged = sources.traceable(meter, touch.utc)
  if (!judged.traceable) return no(judged.because)
  const inFunction = functionFault(touch, meter)
  return inFunction === null ? { claimed: true, because: '' } : no(inFunction)
}

/** Claimed where it is for each of them; else every reason once. @param none what is said where there is no figure. */
export const claimOf = (claims: readonly Claim[], none: string): Claim => {
  if (claims.length === 0) return no(none)
  const against = [...new Set(claims.filter(({ claimed }) => !claimed).map(({ because }) => because))]
  return against.length === 0 ? { claimed: true, because: '' } : no(against.join(' '))
}
