/** What capture is asked to do, what it is told, and what it hands over. The rules are in the files beside this one. */
import type { AirPattern } from '../meter/instrument'
import type { MeasuredValue, MeterFlag, MeterFunction, Reading, UnitSymbol } from '../meter/reading'
import type { Limits } from '../metrology/limits'
import type { Ohms, Seconds } from '../quantity/units'
import type { Evidence } from '../run/event'

/** One placement to be measured. Everything capture needs to know about meter, step and circuit. */
export type CaptureTask = {
  step: string
  function: MeterFunction
  limits: Limits
  /** What a good board reads here lies in the air pattern (open, or zero volts). */
  expectsAir: boolean
  /** Air patterns of this meter, all functions. Empty: overload is air, and volts within 3 counts of zero. */
  air: AirPattern[]
  /** From the meter description; null: measured from the stream. */
  conversionSeconds: Seconds | null
  /** Full scale of the lowest range and counts of the display in this function; null: unknown. */
  lowestRange: number | null
  counts: number | null
  /** R·C across the placement where nets and values give it; null: unknown. */
  rcSeconds: Seconds | null
  /** Lead resistance with the resolution it was measured at, to take off readings under 100 Ω on the same range. */
  lead: { ohms: Ohms; resolution: number } | null
  /** The lead check is exempt from the coarseness rule. */
  anyResolution: boolean
  /** The leads may stay from the step before: no lift is asked. */
  keepsContact: boolean
  /** Nothing is captured before this time (a store is being waited for). */
  notBefore: Seconds | null
}

/** What one capture leaves for the next: the contact that still has to be seen to end. */
export type Carry = {
  /** The captured value whose contact still stands; null: the leads are known to be off, or nothing was captured yet. */
  held: { value: MeasuredValue; function: MeterFunction; wasAir: boolean } | null
  /** The last raw frame, since when it has stood unchanged, and over how many steps: for "frozen, is hold on?". */
  frame: { raw: string; since: Seconds; steps: number } | null
  /** Conversion time measured so far, per function. */
  measuredConversion: Partial<Record<MeterFunction, Seconds>>
}

export type CaptureInput =
  | { reading: Reading }
  | { press: 'confirm' | 'again'; at: Seconds }
  | { tick: Seconds }

/** One touch, accepted. */
export type CapturedValue = {
  function: MeterFunction
  unit: UnitSymbol
  range: number | null
  resolution: number | null
  value: MeasuredValue
  /** As the meter showed it, before lead resistance was taken off. */
  shown: MeasuredValue
  median: number | null
  sd: number | null
  conversions: number
  /** From contact (or the first air conversion) to acceptance. */
  seconds: Seconds
  /** The band B of rule 8 that this value was accepted with, SI; null with overload. */
  band: number | null
  raw: string[]
  evidence: Evidence
  at: Seconds
}

export type CaptureOutput =
  | { kind: 'contact'; at: Seconds }
  | { kind: 'lifted'; at: Seconds }
  | { kind: 'captured'; value: CapturedValue }
  /** Resistance, continuity or diode below −3 counts: the board holds a voltage. */
  | { kind: 'charged'; value: number; at: Seconds }
  | { kind: 'silent'; at: Seconds }
  | { kind: 'wrong-function'; wanted: MeterFunction; shows: MeterFunction; at: Seconds }

/** What is being waited for; the state line is made from this. */
export type CaptureStatus =
  | { kind: 'touch'; open: boolean }                           // waiting for contact; open: 1 s of air has passed, a press takes it as open
  | { kind: 'wait'; until: Seconds }                           // notBefore
  | { kind: 'steadying'; have: number; need: number; trend: boolean }
  | { kind: 'charging'; until: Seconds }                       // 5 RC
  | { kind: 'ranging' } | { kind: 'hunting' }
  | { kind: 'offer-moving'; value: number; resolved: boolean } // resolved: a one-sided limit was passed for good; confirm takes it
  | { kind: 'confirm-air'; value: MeasuredValue; ready: boolean; secondPoint: boolean }  // ready: 1 s has passed
  | { kind: 'lift'; held: boolean }                            // held: a different steady value stands with no lift seen
  | { kind: 'wrong-function'; shows: MeterFunction }
  | { kind: 'mode'; flag: MeterFlag }
  | { kind: 'frozen' }
  | { kind: 'charged'; value: number }
  | { kind: 'too-coarse' }
  | { kind: 'silent' }
  | { kind: 'fingers-off' }                                    // finite above 200 kΩ, steadying
