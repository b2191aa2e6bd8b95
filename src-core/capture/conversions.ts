/** Rule 1, conversions, not frames: which frames carry a new measurement, and how long the meter takes for one. */
import type { MeterFunction, Reading } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import { CHANGES_TO_MEASURE, CONVERSION_SHARE, GAPS_REMEMBERED, UNMEASURED_CONVERSION, UNMEASURED_FRAME } from './figures'
import type { FrameClock } from './state'

export const startClock = (at: Seconds): FrameClock =>
  ({ function: null, at, digits: null, conversionAt: null, changeAt: null, frameGaps: [], changeGaps: [] })

const remember = (gaps: readonly Seconds[], gap: number): Seconds[] => [...gaps, gap as Seconds].slice(-GAPS_REMEMBERED)

const middle = (gaps: readonly Seconds[]): Seconds | null => {
  const sorted = [...gaps].sort((a, b) => a - b)
  return sorted[Math.floor(sorted.length / 2)] ?? null
}

/** Usual time between frames of the present function, s; null until three gaps were seen. */
export const usualFrameSeconds = (clock: FrameClock): Seconds | null =>
  clock.frameGaps.length < 3 ? null : middle(clock.frameGaps)

/** Functions in which many meters take seconds for a conversion. */
const takesLong: Record<MeterFunction, boolean> = {
  'dc-voltage': false, 'ac-voltage': false, resistance: false, continuity: false, diode: false, 'dc-current': false, 'ac-current': false,
  capacitance: true, inductance: true, frequency: true, temperature: true,
}

/**
 * Conversion time from the times between changes of the digits, s; null while too few were seen. Each is a whole number of
 * conversion times, so the shortest is never too short but for serial jitter, which a gap much under a frame time shows.
 * One change in a function that takes long is worth more than the frame time; elsewhere digits that happen to stay the
 * same must not make the meter look slow, so several are asked for.
 */
export const measuredFromStream = (clock: FrameClock): Seconds | null => {
  const least = (usualFrameSeconds(clock) ?? 0) * CONVERSION_SHARE
  const sorted = clock.changeGaps.filter((gap) => gap > 0 && gap >= least).sort((a, b) => a - b)
  const enough = clock.function !== null && takesLong[clock.function] ? 1 : CHANGES_TO_MEASURE
  if (sorted.length < enough) return null
  return (sorted.length >= 2 * CHANGES_TO_MEASURE ? sorted[1] : sorted[0]) ?? null
}

/**
 * Conversion time to go by, s: as described, else as measured, else a slow one in functions that take long, else the frame
 * time. With the last, W keeps a repeated first frame of any meter that converts more than 1.7 times a second from being
 * taken; one that is slower should have its conversion time described.
 */
export const conversionTime = (
  described: Seconds | null, measured: Partial<Record<MeterFunction, Seconds>>, fn: MeterFunction, frame: Seconds | null,
): Seconds => described ?? measured[fn] ?? (takesLong[fn] ? UNMEASURED_CONVERSION : frame ?? UNMEASURED_FRAME)

/** Takes in one frame. `conversion`: it carries a new measurement. `gap`: seconds since the frame before. */
export const noteFrame = (
  clock: FrameClock, reading: Reading, described: Seconds | null, measured: Partial<Record<MeterFunction, Seconds>>,
): { clock: FrameClock; conversion: boolean; measured: Partial<Record<MeterFunction, Seconds>> } => {
  const { at } = reading
  const digits = `${reading.value} ${reading.resolution ?? ''} ${reading.range ?? ''}`
  if (reading.function !== clock.function) {
    const fresh = { ...startClock(at), function: reading.function, digits, conversionAt: at, changeAt: null }
    return { clock: fresh, conversion: true, measured }
  }
  const changed = digits !== clock.digits
  const frameGaps = remember(clock.frameGaps, at - clock.at)
  const changeGaps = changed && clock.changeAt !== null ? remember(clock.changeGaps, at - clock.changeAt) : clock.changeGaps
  const next: FrameClock = { ...clock, at, digits, frameGaps, changeGaps, changeAt: changed ? at : clock.changeAt }
  const seen = changed ? measuredFromStream(next) : null
  const trusted = seen !== null && (measured[reading.function] === undefined || changeGaps.length >= CHANGES_TO_MEASURE)
  const measuredNow = trusted ? { ...measured, [reading.function]: seen } : measured
  const due = CONVERSION_SHARE * conversionTime(described, measuredNow, reading.function, usualFrameSeconds(next))
  const conversion = changed || clock.conversionAt === null || at - clock.conversionAt >= due
  return { clock: conversion ? { ...next, conversionAt: at } : next, conversion, measured: measuredNow }
}
