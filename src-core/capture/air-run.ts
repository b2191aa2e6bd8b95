/** Rule 7, air proves nothing: the unbroken run of air readings that a press may turn into a value. */
import type { Reading } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import { conversionOf } from './captured-value'
import { AIR_CONVERSIONS_KEPT, AIR_SECONDS } from './figures'
import type { AirRun } from './state'

const kindOf = (reading: Reading): AirRun['shows'] => typeof reading.value === 'number' ? 'finite' : reading.value

const beginAir = (reading: Reading): AirRun => ({
  since: reading.at, last: reading.at, shows: kindOf(reading), conversions: 0, finite: [], raw: [],
  range: reading.range, count: reading.resolution, secondPoint: null,
})

/** Adds an air reading; another kind of air (overload, a number) is another run. */
export const extendAir = (run: AirRun | null, reading: Reading, conversion: boolean): AirRun => {
  const air = run === null || run.shows !== kindOf(reading) ? beginAir(reading) : run
  const seen = { ...air, last: reading.at, range: reading.range, count: reading.resolution }
  if (!conversion && air.conversions > 0) return seen
  const { value } = reading
  const same = air.range === reading.range && air.count === reading.resolution
  const before = same ? air.finite : []
  const finite = typeof value === 'number' ? [...before, conversionOf({ ...reading, value })].slice(-AIR_CONVERSIONS_KEPT) : []
  return { ...seen, conversions: air.conversions + 1, finite, raw: [...(same ? air.raw : []), reading.raw].slice(-AIR_CONVERSIONS_KEPT) }
}

/** At least 1 s of unbroken air readings at this point: in this step, or since the second point was touched. */
export const airReady = (air: AirRun): boolean => air.last - Math.max(air.since, air.secondPoint ?? air.since) >= AIR_SECONDS - 1e-9

/** The technician says that the second point is touched now: the second has to run again. */
export const touchSecondPoint = (air: AirRun, at: Seconds): AirRun => ({ ...air, secondPoint: at })
