/** The budget of a captured value: repeatability, resolution, the meter's accuracy, its leads, the contact, and what the board adds. */
import type { Accuracy } from '../meter/instrument'
import type { MeterFunction } from '../meter/reading'
import { unitOf } from '../meter/reading'
import { type Budget, budgetOf } from './budget'
import type { Component } from './component'
import { type Pooled, scattersMore } from './pooled'
import { accuracyPart, type Conditions, type Surroundings } from './stated-accuracy'

export type ValueFacts = {
  function: MeterFunction
  /** After lead resistance, SI. */
  value: number
  /** As the meter showed it. */
  shown: number
  /** One count, SI. */
  resolution: number
  /** Of this value's own conversions; null where there was one, as with a typed figure. */
  sd: number | null
  conversions: number
  /** Scatter of this meter in this function and range; null: none kept yet. */
  repeatability: Pooled | null
  /** So many conversions are shown to be independent of each other: their mean scatters less by its root. 1 where nobody showed it. */
  independent: number
  /** Null: nobody entered it. */
  accuracy: Accuracy | null
  conditions: Conditions | null
  surroundings: Surroundings
  /**
   * Lead resistance: taken off this value, or known and not taken off (another range, or above 100 Ω). Null: no lead check.
   * `measured`: it is what is being measured.
   */
  lead: { ohms: number; standard: number; degrees: number | null; takenOff: boolean } | 'measured' | null
  /** Scatter between fresh touches of one placement; null: nobody touched twice yet. */
  contact: Pooled | null
  /** What the board type adds, each within ± halfWidth, SI. */
  board: readonly { what: string; halfWidth: number }[]
}

/** More than this lead resistance is refused by the lead check (capture.md, rule 12). */
const mostLeadOhms = 0.5
const hasLeads = (f: MeterFunction): boolean => f === 'resistance' || f === 'continuity'

const readings = (count: number): string => (count === 1 ? '1 reading' : `${count} readings`)

/**
 * Quantisation is counted once, in the resolution: a display that dithers shows its rounding in the scatter too, so q²/12 is taken off
 * s² there (Sheppard's correction, from memory). A display that stood still has s = 0, and what is left is the whole of the resolution.
 */
const withoutRounding = (s: number, resolution: number): number => Math.sqrt(Math.max(0, s ** 2 - resolution ** 2 / 12))

const repeatabilityPart = (facts: ValueFacts): Component => {
  const { sd, conversions, repeatability, resolution, independent } = facts
  const part = { what: 'repeatability', sensitivity: 1, unit: unitOf[facts.function] } as const
  const own = sd === null || conversions < 2 ? null : { sd, count: conversions }
  const of = (s: number, degrees: number, from: string): Component => {
    const standard = withoutRounding(s, resolution) / Math.sqrt(Math.max(1, independent))
    const still = standard === 0 ? '; the display stood still within its rounding' : independent > 1 ? `; mean of ${independent} shown to be independent` : ''
    return { ...part, kind: 'A', degrees, from: `${from}${still}`, spread: { shape: 'normal', standard } }
  }
  if (own !== null && repeatability !== null && scattersMore(own, repeatability)) return of(own.sd, own.count - 1, `${readings(own.count)} of this value, which scatter more than is usual here`)
  if (repeatability !== null) return of(repeatability.sd, repeatability.degrees, `pooled from ${repeatability.groups} steady value${repeatability.groups === 1 ? '' : 's'} of this function and range`)
  if (own !== null) return of(own.sd, own.count - 1, `${readings(own.count)} of this value`)
  return { ...part, kind: 'B', degrees: null, from: 'one reading: taken as ± 1 count', spread: { shape: 'rectangular', halfWidth: resolution } }
}

/** The leads only ever add: what of them is known and was left in the value is a bias, not a spread about zero (JCGM 100:2008, 3.2.4; from memory). */
const leadParts = ({ function: f, lead }: ValueFacts): { parts: Component[]; remarks: string[]; bias: number } => {
  if (!hasLeads(f) || lead === 'measured') return { parts: [], remarks: [], bias: 0 }
  const part = { what: 'lead resistance', unit: unitOf[f], kind: 'B', sensitivity: -1 } as const
  if (lead === null) {
    const middle = mostLeadOhms / 2
    return {
      parts: [{ ...part, from: `not measured: taken as 0 Ω to ${mostLeadOhms} Ω`, degrees: null, spread: { shape: 'rectangular', halfWidth: middle } }],
      remarks: [`The leads were not checked: up to ${mostLeadOhms} Ω of the value may be theirs.`], bias: middle,
    }
  }
  const from = `${lead.takenOff ? 'taken off' : 'not taken off'}; uncertainty of the lead check`
  const standing: Component = { ...part, from, degrees: lead.degrees, spread: { shape: 'normal', standard: lead.standard } }
  return { parts: [standing], remarks: [], bias: lead.takenOff ? 0 : lead.ohms }
}

/** What only fresh touches show, beyond the scatter of one touch's own conversions. */
const contactParts = ({ function: f, contact, resolution }: ValueFacts): { parts: Component[]; remarks: string[] } => {
  if (contact === null) return { parts: [], remarks: ['Contact: no placement has been touched twice yet, so its part is not known and not counted.'] }
  const from = `between ${contact.groups === 1 ? 'fresh touches of one placement' : `fresh touches of ${contact.groups} placements`}`
  return {
    parts: [{ what: 'contact', kind: 'A', from, sensitivity: 1, degrees: contact.degrees, unit: unitOf[f], spread: { shape: 'normal', standard: withoutRounding(contact.sd, resolution) } }],
    remarks: [],
  }
}

/** The budget, or why there is none: a sentence. */
export const valueBudget = (facts: ValueFacts): Budget | { refused: string } => {
  const unit = unitOf[facts.function]
  const accuracy = accuracyPart(facts)
  if ('refused' in accuracy) return accuracy
  const [lead, contact] = [leadParts(facts), contactParts(facts)]
  const resolution: Component = {
    what: 'resolution', kind: 'B', from: '± half a count', sensitivity: 1, degrees: null, unit, spread: { shape: 'rectangular', halfWidth: facts.resolution / 2 },
  }
  const board = facts.board.map(({ what, halfWidth }): Component => (
    { what, kind: 'B', from: 'stated by the board type', sensitivity: 1, degrees: null, unit, spread: { shape: 'rectangular', halfWidth } }))
  const parts = [repeatabilityPart(facts), resolution, accuracy.part, ...lead.parts, ...contact.parts, ...board]
  const remarks = [...accuracy.remarks, ...lead.remarks, ...contact.remarks]
  return budgetOf(parts, { value: facts.value, unit, basis: facts.accuracy === null ? 'generic' : 'budget', remarks, bias: lead.bias })
}
