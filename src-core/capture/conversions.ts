/** Rule 1, conversions, not frames: which frames carry a new measurement, and how long the meter takes for one. */
import type { MeterFunction, Reading } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import {
  ARRIVAL_JITTER, CHANGES_TIMES_FRAMES, CHANGES_TO_MEASURE, CONVERSION_SHARE, GAPS_REMEMBERED, SAME_PIECE_SECONDS, TELLING_FRAMES,
  UNMEASURED_FRAME,
} from './figures'
import type { FrameClock } from './state'

export const startClock = (at: Seconds): FrameClock =>
  ({ function: null, at, value: null, resolution: null, range: null, conversionAt: null, changeAt: null, frameGaps: [], changeGaps: [] })

const remember = (gaps: readonly Seconds[], gap: number): Seconds[] => [...gaps, gap as Seconds].slice(-GAPS_REMEMBERED)

/**
 * Usual time between frames of the present function, s; null until three gaps were seen. The mean of those gaps that are like one of the
 * shorter: a meter leaves frames out while it ranges. Frames that came in one piece say nothing.
 */
export const usualFrameSeconds = (clock: FrameClock): Seconds | null => {
  const gaps = clock.frameGaps.filter((gap) => gap >= SAME_PIECE_SECONDS).sort((a, b) => a - b)
  const typical = gaps[Math.floor(gaps.length / 4)]
  if (typical === undefined || gaps.length < 3) return null
  const alike = gaps.filter((gap) => gap <= 1.5 * typical + ARRIVAL_JITTER)
  return (alike.reduce((sum, gap) => sum + gap, 0) / alike.length) as Seconds
}

/** Gaps are whole numbers of conversions of so many frames; where a frame is repeated more than once jitter may spoil one gap in eight. */
const explained = (gaps: readonly number[], frames: number, frame: number): boolean => {
  const conversion = frames * frame
  const odd = gaps.filter((gap) => gap <= 0.5 * conversion || Math.abs(gap / conversion - Math.round(gap / conversion)) > 0.3)
  return odd.length <= (frames > 2 ? Math.floor(gaps.length / 8) : 0)
}

/**
 * Conversion time from the times between changes of the digits, s: the largest number of frames of which they are all multiples.
 * Digits that happen to stay the same thus do not make the meter look slow. Gaps of many frames tell nothing, for errors add up.
 * Null while too few were seen.
 */
export const measuredFromStream = (clock: FrameClock): Seconds | null => {
  const frame = usualFrameSeconds(clock)
  if (frame === null) return null
  const gaps = clock.changeGaps.filter((gap) => gap <= TELLING_FRAMES * frame)
  const shortest = [...gaps].sort((a, b) => a - b)[Math.floor(gaps.length / 8)] ?? 0
  for (let frames = Math.round(shortest / frame); frames > 1; frames -= 1) {
    if (gaps.length * frames >= CHANGES_TIMES_FRAMES && explained(gaps, frames, frame)) return frames * frame as Seconds
  }
  return gaps.length >= CHANGES_TO_MEASURE ? frame : null
}

/** Seconds after a conversion from which an unchanged frame is the next: 0.8 of its time, and hardly less than it where frames repeat. */
const dueAfter = (conversion: Seconds, frame: Seconds | null): number =>
  Math.max(CONVERSION_SHARE * conversion, frame !== null && frame < 0.6 * conversion ? conversion - frame / 4 : 0)

/** Conversion time to go by, s: as described, else as measured, else the frame time, else half a second. */
export const conversionTime = (
  described: Seconds | null, measured: Partial<Record<MeterFunction, Seconds>>, fn: MeterFunction, frame: Seconds | null,
): Seconds => described ?? measured[fn] ?? frame ?? UNMEASURED_FRAME

type RangeShown = Pick<Reading, 'resolution' | 'range'>
const sameRange = (a: RangeShown, b: RangeShown): boolean =>
  a.resolution === b.resolution && a.range === b.range

/** Takes in one frame. `conversion`: it carries a new measurement. */
export const noteFrame = (
  clock: FrameClock, reading: Reading, described: Seconds | null, measured: Partial<Record<MeterFunction, Seconds>>,
): { clock: FrameClock; conversion: boolean; measured: Partial<Record<MeterFunction, Seconds>> } => {
  const { at } = reading
  const shown = { function: reading.function, value: reading.value, resolution: reading.resolution, range: reading.range }
  if (reading.function !== clock.function) return { clock: { ...startClock(at), ...shown, conversionAt: at }, conversion: true, measured }
  const alike = typeof reading.value === 'number' && typeof clock.value === 'number' && sameRange(reading, clock)
  const changed = reading.value !== clock.value || !sameRange(reading, clock)
  const frameGaps = remember(clock.frameGaps, at - clock.at)
  const changeGaps = changed && alike && clock.changeAt !== null ? remember(clock.changeGaps, at - clock.changeAt) : clock.changeGaps
  const next: FrameClock = { ...clock, ...shown, at, frameGaps, changeGaps, changeAt: changed ? at : clock.changeAt }
  const seen = changed && alike ? measuredFromStream(next) : null
  const measuredNow = seen === null ? measured : { ...measured, [reading.function]: seen }
  const frame = usualFrameSeconds(next)
  const due = dueAfter(conversionTime(described, measuredNow, reading.function, frame), frame)
  const conversion = changed || clock.conversionAt === null || at - clock.conversionAt >= due
  return { clock: conversion ? { ...next, conversionAt: at } : next, conversion, measured: measuredNow }
}
