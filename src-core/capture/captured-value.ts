/** Rules 7, 8 and 12: what is handed over once a touch is accepted, lead resistance taken off. */
import type { Seconds } from '../quantity/units'
import { unitOf, type MeterFunction } from '../meter/reading'
import { LEAD_MATTERS_OHMS } from './figures'
import type { AirRun, Contact, Conversion } from './state'
import { band } from './band'
import { summary } from './spread'
import type { Steady } from './steady'
import type { CapturedValue, CaptureTask } from './task'

type OnLeads = { function: MeterFunction; lead: { resolution: number } | null }

/** Whether the lead resistance is taken off a value as shown: under 100 Ω, on the range (told by its resolution) it was measured on. */
export const takesLeadOff = ({ function: fn, lead }: OnLeads, value: number, count: number | null): boolean => {
  const ohmic = fn === 'resistance' || fn === 'continuity'
  if (lead === null || !ohmic || count === null || Math.abs(value) >= LEAD_MATTERS_OHMS) return false
  return Math.abs(count - lead.resolution) <= 0.01 * lead.resolution
}

/** Lead resistance to take off a value as shown, Ω. */
export const leadToTakeOff = (task: CaptureTask, value: number, count: number | null): number =>
  (takesLeadOff(task, value, count) ? task.lead?.ohms ?? 0 : 0)

const common = (task: CaptureTask, c: { range: number | null; count: number | null }) =>
  ({ function: task.function, unit: unitOf[task.function], range: c.range, resolution: c.count })

/** A value that stood still. */
export const steadyValue = (task: CaptureTask, contact: Contact, steady: Steady): CapturedValue => {
  const { last } = contact
  const lead = leadToTakeOff(task, steady.mean, last.count)
  return {
    ...common(task, last), value: steady.mean - lead, shown: steady.mean, median: steady.median - lead, sd: steady.sd,
    conversions: steady.window.length, seconds: (last.at - contact.since) as Seconds, band: steady.band,
    raw: steady.window.map((c) => c.raw), evidence: 'steady', at: last.at,
  }
}

/** The last value of one that moves, taken by a press. */
export const movingValue = (task: CaptureTask, contact: Contact, at: Seconds): CapturedValue => {
  const { last } = contact
  const lead = leadToTakeOff(task, last.value, last.count)
  return {
    ...common(task, last), value: last.value - lead, shown: last.value, median: last.value - lead, sd: null,
    conversions: 1, seconds: (at - contact.since) as Seconds, band: band(last.value, last.count),
    raw: [last.raw], evidence: 'moving', at,
  }
}

/** A value inside the air pattern, taken by a press: the overload, or the mean of the latest finite conversions. */
export const airValue = (task: CaptureTask, air: AirRun, at: Seconds): CapturedValue => {
  const evidence = air.secondPoint === null ? 'confirmed' : 'proven'
  const seconds = (at - air.since) as Seconds
  const base = { ...common(task, air), conversions: air.conversions, seconds, raw: air.raw, evidence, at } as const
  if (air.shows !== 'finite') return { ...base, value: air.shows, shown: air.shows, median: null, sd: null, band: null }
  const { mean, median, sd } = summary(air.finite)
  return { ...base, value: mean, shown: mean, median, sd, band: band(mean, air.count), conversions: air.finite.length }
}

/** Conversion of a finite reading. */
export const conversionOf = (r: { at: Seconds; value: number; resolution: number | null; range: number | null; raw: string }): Conversion =>
  ({ at: r.at, value: r.value, count: r.resolution, range: r.range, raw: r.raw })
