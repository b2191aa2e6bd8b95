/** What capture remembers between inputs: plain serialisable data, bounded in size. */
import type { MeasuredValue, MeterFlag, MeterFunction } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import type { CapturedValue, CaptureTask, Carry } from './task'

/** One new measurement of the meter with a finite value, SI; `count` and `range` null where the meter does not tell. */
export type Conversion = { at: Seconds; value: number; count: number | null; range: number | null; raw: string }

/** Rules 1 and 5: when frames came and when their digits changed. */
export type FrameClock = {
  function: MeterFunction | null
  /** Time of the last frame; of the start until one came. */
  at: Seconds
  /** What the last frame showed; a frame that shows something else is a new conversion. */
  value: MeasuredValue | null
  resolution: number | null
  range: number | null
  conversionAt: Seconds | null
  changeAt: Seconds | null
  frameGaps: Seconds[]
  changeGaps: Seconds[]
}

/** An unbroken finite reading: the tips are on something. */
export type Contact = {
  since: Seconds
  /** The earliest it can have begun: the frame before. */
  earliest: Seconds
  /** The latest conversion, dropped ones included. */
  last: Conversion
  /** Conversions still to be dropped. */
  drop: number
  /** The conversion before the window: the one dropped, or the last on the range before. */
  begun: Conversion
  /** All conversions since contact, jumps included, without the first and its repeats; the latest nine seconds of them. */
  whole: Conversion[]
  /** Latest conversions of one range with no jump between them. */
  window: Conversion[]
  /** Range, or the resolution standing for it, and since when; newest last. */
  ranges: { key: number | null; at: Seconds }[]
  /** The meter says that its range was set by hand. */
  manualRange: boolean
  /** One point a second, for a value that moves too long to become steady. */
  path: { at: Seconds; value: number }[]
}

/** An unbroken run of readings that prove nothing by themselves. */
export type AirRun = {
  since: Seconds
  last: Seconds
  shows: 'overload' | 'negative-overload' | 'finite'
  /** Air conversions seen, and the latest of them that are finite; raw frames of the latest. */
  conversions: number
  finite: Conversion[]
  raw: string[]
  range: number | null
  count: number | null
  /** When the technician said that the second point is touched now. */
  secondPoint: Seconds | null
}

export type CaptureState = {
  task: CaptureTask
  startedAt: Seconds
  clock: FrameClock
  measuredConversion: Partial<Record<MeterFunction, Seconds>>
  held: Carry['held']
  /** `asked`: the leads must be seen apart before anything counts; `different`: another steady value stands meanwhile. */
  lift: { asked: boolean; conversions: number; different: boolean }
  frame: Carry['frame']
  /** The technician said the leads were moved while this frame stood. */
  moved: boolean
  contact: Contact | null
  air: AirRun | null
  obstacle: { kind: 'wrong-function'; shows: MeterFunction } | { kind: 'mode'; flag: MeterFlag } | { kind: 'silent' } | null
  charged: number | null
  captured: CapturedValue | null
}
