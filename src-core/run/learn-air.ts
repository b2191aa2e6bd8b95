/** Learns the air pattern of one function: what this meter shows with its leads apart (capture.md, rule 2). */
import type { AirPattern } from '../meter/instrument'
import type { MeterFunction, Reading } from '../meter/reading'
import { seconds, type Seconds } from '../quantity/units'

export const learnSeconds = 2
const marginCounts = 3
/** Longer without a reading, and what was seen before no longer counts. */
const gapSeconds = 2

/** Why a figure of it has no uncertainty. */
export const airIsNoMeasurement = 'What the meter shows with its leads apart is no measurement of anything.'

export type Learning = {
  function: MeterFunction
  since: Seconds | null
  overload: boolean
  from: number | null
  to: number | null
  resolution: number | null
  conversions: number
  lastAt: Seconds | null
  raw: string[]
  /** Set when what is shown cannot be the leads apart. */
  objection: string | null
}

export const startLearning = (fn: MeterFunction, _at: Seconds): Learning =>
  ({ function: fn, since: null, overload: false, from: null, to: null, resolution: null, conversions: 0, lastAt: null, raw: [], objection: null })

/** A finite value that the open leads of no meter show: the tips touch something. Common practice, no source. */
const implausible = (fn: MeterFunction, value: number): boolean => {
  switch (fn) {
    case 'resistance': case 'continuity': return true
    case 'diode': return value < 1.5
    case 'dc-voltage': case 'ac-voltage': return Math.abs(value) > 0.5
    case 'capacitance': return value > 1e-9
    default: return false
  }
}

const forbidden = ['hold', 'relative', 'minimum', 'maximum', 'average', 'peak', 'low-battery'] as const

export const learn = (learning: Learning, reading: Reading): Learning => {
  const fresh = startLearning(learning.function, reading.at)
  if (reading.function !== learning.function) return { ...fresh, objection: 'function' }
  const mode = forbidden.find((flag) => reading.flags.includes(flag))
  if (mode !== undefined) return { ...fresh, objection: mode }
  if (reading.value === 'negative-overload') return fresh
  if (typeof reading.value === 'number' && implausible(reading.function, reading.value)) return { ...fresh, objection: 'touching' }
  const value = reading.value === 'overload' ? null : reading.value
  // Overload and figures do not belong to one state of the leads: what came last is learned from its beginning.
  const mixed = learning.conversions > 0 && learning.overload !== (value === null)
  const silent = learning.lastAt !== null && reading.at - learning.lastAt > gapSeconds
  if (mixed || silent) return learn(fresh, reading)
  return {
    ...learning, objection: null, lastAt: reading.at, since: learning.since ?? reading.at, conversions: learning.conversions + 1,
    overload: learning.overload || value === null,
    from: value === null ? learning.from : Math.min(learning.from ?? value, value),
    to: value === null ? learning.to : Math.max(learning.to ?? value, value),
    resolution: reading.resolution ?? learning.resolution, raw: [...learning.raw, reading.raw].slice(-5),
  }
}

export const learnedEnough = (learning: Learning, at: Seconds): boolean =>
  learning.since !== null && learning.lastAt !== null && learning.conversions >= 3 && at - learning.since >= learnSeconds && at - learning.lastAt <= gapSeconds

/** The pattern, with a margin of three counts either side. Null while nothing was seen. */
export const airOf = (learning: Learning): AirPattern | null => {
  if (learning.conversions === 0) return null
  if (learning.from === null || learning.to === null) return { function: learning.function, range: null, apart: 'overload', joined: null }
  const margin = marginCounts * (learning.resolution ?? 0)
  return { function: learning.function, range: null, apart: { from: learning.from - margin, to: learning.to + margin }, joined: null }
}

/** The newest pattern of a function stands in for the one before. */
export const withPattern = (patterns: readonly AirPattern[], next: AirPattern): AirPattern[] =>
  [...patterns.filter((each) => each.function !== next.function || each.range !== next.range), next]

export const learnedFor = (learning: Learning, at: Seconds): Seconds => seconds(learning.since === null ? 0 : at - learning.since)
