/** The scale under the reading: the limits in its middle, a short at one end, open at the other, and where the value lies. */
import { acceptanceInterval } from '../metrology/interval'
import type { MeasuredValue, MeterFunction } from '../meter/reading'
import { unitOf } from '../meter/reading'
import type { Limits } from '../metrology/limits'
import { engineering } from '../quantity/engineering'
import type { BenchView } from './view'

type Scale = NonNullable<NonNullable<BenchView['step']>['scale']>

const shortAt = 0.08
const openAt = 0.93
const windowFrom = 0.41
const windowTo = 0.59

const words = (value: number, fn: MeterFunction): string => {
  const { figure, prefix } = engineering(value, null)
  return `${figure} ${prefix}${unitOf[fn]}`
}

const bounds = (limits: Limits, fn: MeterFunction): { lo: number | null; hi: number | null } | 'open' => {
  const interval = acceptanceInterval(limits, fn)
  return interval.kind === 'open' ? 'open' : interval
}

/** @throws RangeError when the limits mean nothing in this function. */
export const scaleFor = (limits: Limits, fn: MeterFunction): Scale => {
  const span = bounds(limits, fn)
  const volts = unitOf[fn] === 'V' && fn !== 'diode'
  const ends = { short: volts ? null : shortAt, open: volts ? null : openAt }
  if (span === 'open') return { window: { from: openAt - 0.06, to: 1, lowWords: '', highWords: 'open' }, ...ends }
  return {
    window: {
      from: span.lo === null ? 0 : windowFrom, to: span.hi === null ? 1 : windowTo,
      lowWords: span.lo === null ? '' : words(span.lo, fn), highWords: span.hi === null ? '' : words(span.hi, fn),
    },
    ...ends,
  }
}

const clamp = (at: number): number => Math.min(1, Math.max(0, at))

/** Place of a value, 0 to 1: linear within the limits, squeezed outside them. Null where there is none. */
export const placeOnScale = (value: MeasuredValue, limits: Limits, fn: MeterFunction): number | null => {
  if (value === 'negative-overload') return 0
  if (value === 'overload') return openAt
  const span = bounds(limits, fn)
  if (span === 'open') {
    const top = unitOf[fn] === 'V' ? 3 : 1e7
    return clamp(shortAt + (openAt - 0.1 - shortAt) * Math.log1p(Math.max(0, value)) / Math.log1p(top))
  }
  const lo = span.lo ?? Math.min(0, (span.hi ?? 1) - Math.abs(span.hi ?? 1))
  const hi = span.hi ?? lo * 3 + 1e-12
  const width = hi - lo
  const from = span.lo === null ? shortAt : windowFrom
  const to = span.hi === null ? openAt - 0.05 : windowTo
  if (value < lo) return clamp(from - (from - shortAt) * Math.min(1, (lo - value) / Math.max(Math.abs(lo), width)))
  if (value > hi) return clamp(to + (openAt - 0.03 - to) * (1 - hi / Math.max(value, hi + 1e-15)) ** 0.5 * (hi > 0 ? 1 : 0) + (hi > 0 ? 0 : 0.1))
  return clamp(from + (to - from) * ((value - lo) / width))
}
