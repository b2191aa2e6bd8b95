/** Builders for tests of capture: a meter that converts at its own pace, leads that are held and lifted, and one step after another. */
import { capture, captureStatus, carryOver, startCapture, type CaptureState } from '../../../src-core/capture/capture'
import type { CapturedValue, CaptureInput, CaptureOutput, CaptureStatus, CaptureTask } from '../../../src-core/capture/task'
import { unitOf, type MeasuredValue, type MeterFlag, type MeterFunction, type Reading } from '../../../src-core/meter/reading'
import { seconds } from '../../../src-core/quantity/units'

/** What the display and the line look like. `rate`: conversions a second; `frames`: how often each of them is sent. */
export type Look = {
  function: MeterFunction
  resolution: number
  range: number | null
  flags: MeterFlag[]
  rate: number
  frames: number
}

/** 6,000 counts on the 600 Ω range, five conversions a second, each sent once. */
export const ohmsRange: Look = { function: 'resistance', resolution: 0.1, range: 600, flags: ['auto-range'], rate: 5, frames: 1 }
export const voltsRange: Look = { ...ohmsRange, function: 'dc-voltage', resolution: 0.001, range: 6 }

/** A 220 Ω resistor within 5 %, on a meter described as converting five times a second. */
export const r1: CaptureTask = {
  step: 'r1', function: 'resistance', limits: { nominal: 220, tolerance: 0.05 }, expectsAir: false, air: [],
  conversionSeconds: seconds(0.2), lowestRange: 600, counts: 6000, rcSeconds: null, lead: null, anyResolution: false, keepsContact: false, notBefore: null,
}
export const openStep: Partial<CaptureTask> = { step: 'open', limits: 'open', expectsAir: true }
export const zeroVolts: Partial<CaptureTask> = {
  step: 'zero', function: 'dc-voltage', limits: { between: [-0.05, 0.05] }, expectsAir: true, lowestRange: 6,
}

const rounded = (value: number, resolution: number): number => Number((Math.round(value / resolution) * resolution).toPrecision(12))

/** One frame. Its bytes tell digits, range and flags, so two frames that show the same are the same. */
export const frame = (look: Look, value: MeasuredValue, at: number): Reading => {
  const shown = typeof value === 'number' ? rounded(value, look.resolution) : value
  const finite = typeof shown === 'number'
  const text = [shown, finite ? look.resolution : '', look.function, look.range ?? '', ...look.flags].join(' ')
  return {
    at: seconds(at), function: look.function, value: shown, unit: unitOf[look.function], resolution: finite ? look.resolution : null,
    range: look.range, flags: look.flags, raw: Buffer.from(text).toString('hex'),
  }
}

/** The figure a kept frame shows. */
export const figureIn = (raw: string): number => Number(Buffer.from(raw, 'hex').toString().split(' ')[0])

export type Held = MeasuredValue | ((since: number) => number)

export type Hand = {
  now: () => number
  state: () => CaptureState
  status: () => CaptureStatus
  outputs: () => CaptureOutput[]
  captured: () => CapturedValue[]
  /** The only value captured so far; an error when there is none, or more. */
  value: () => CapturedValue
  give: (input: CaptureInput) => void
  /** The display shows this for so long; a function is given the seconds since it began. */
  hold: (value: Held, forSeconds: number, change?: Partial<Look>) => Hand
  /** Leads in the air. */
  apart: (forSeconds: number) => Hand
  /** The meter sends nothing; a tick comes every 0.1 s. */
  nothing: (forSeconds: number) => Hand
  press: (press?: 'confirm' | 'again') => Hand
  /** The next step begins. */
  next: (change?: Partial<CaptureTask>) => Hand
}

/** A technician at the bench, at 10 s, in a first step; nothing is known of where the leads are. */
export const atBench = (task: Partial<CaptureTask> = {}, meter: Partial<Look> = {}): Hand => {
  const begin = 10
  const look: Look = { ...(task.function === 'dc-voltage' ? voltsRange : ohmsRange), ...meter }
  const framesPerSecond = look.rate * look.frames
  let step: CaptureTask = { ...r1, conversionSeconds: seconds(1 / look.rate), ...task }
  let state = startCapture(step, seconds(begin), null)
  let now = begin
  let sent = 1
  let display: Reading | null = null
  const outputs: CaptureOutput[] = []

  const give = (input: CaptureInput): void => {
    const taken = capture(state, input)
    state = taken.state
    outputs.push(...taken.outputs)
  }
  const captured = (): CapturedValue[] => outputs.flatMap((output) => (output.kind === 'captured' ? [output.value] : []))
  const frameAt = (n: number): number => begin + n / framesPerSecond

  const hand: Hand = {
    now: () => now, state: () => state, status: () => captureStatus(state, seconds(now)), outputs: () => outputs, captured, give,
    value: () => {
      const [only, ...more] = captured()
      if (only === undefined || more.length > 0) throw new Error(`${captured().length} values were captured, not one.`)
      return only
    },
    hold: (value, forSeconds, change = {}) => {
      const from = now
      now += forSeconds
      while (frameAt(sent) <= now + 1e-9) {
        const at = frameAt(sent)
        if (display === null || (sent - 1) % look.frames === 0) {
          display = frame({ ...look, ...change }, typeof value === 'function' ? value(at - from) : value, at)
        }
        give({ reading: { ...display, at: seconds(at) } })
        sent += 1
      }
      return hand
    },
    apart: (forSeconds) => hand.hold(look.function.endsWith('voltage') ? 0 : 'overload', forSeconds),
    nothing: (forSeconds) => {
      const from = now
      now += forSeconds
      for (let n = 1; from + n * 0.1 <= now + 1e-9; n += 1) give({ tick: seconds(from + n * 0.1) })
      while (frameAt(sent) <= now + 1e-9) sent += 1
      display = null
      return hand
    },
    press: (press = 'confirm') => {
      give({ press, at: seconds(now) })
      return hand
    },
    next: (change = {}) => {
      step = { ...step, ...change }
      state = startCapture(step, seconds(now), carryOver(state))
      return hand
    },
  }
  return hand
}

/** A value that goes up and down about its middle: middle, above, middle, below, one conversion each. */
export const about = (middle: number, swing: number, rate: number) => (since: number): number =>
  middle + swing * ([0, 1, 0, -1][Math.round(since * rate) % 4] ?? 0)

/** Holds in small pieces until a value is captured, and gives the time that took; null when it is not within so long. */
export const secondsToCapture = (hand: Hand, value: Held, atMost: number, change: Partial<Look> = {}): number | null => {
  const from = hand.now()
  const before = hand.captured().length
  const shown = (): Held => {
    const gone = hand.now() - from
    return typeof value === 'function' ? (since) => value(since + gone) : value
  }
  while (hand.now() - from < atMost - 1e-9) {
    hand.hold(shown(), 0.05, change)
    if (hand.captured().length > before) return hand.now() - from
  }
  return null
}
