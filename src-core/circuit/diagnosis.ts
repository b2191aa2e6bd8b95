/** What a diagnosis says: each part's report, the fault sets the readings leave, and what to do next. */
import type { MeterFunction } from '../meter/reading'
import type { Fault } from './faults'

/** Ids of the test points under the tips, and where the dial stands. */
export type Placement = { red: string; black: string; function: MeterFunction }

export type Action =
  | { kind: 'measure'; placement: Placement }
  | { kind: 'lift'; ref: string; pin: string }
  | { kind: 'replace'; ref: string }

/**
 * `unprobed`: some allowed placement would tell more of the part, and was not taken. `masked`: a board with another state of the part,
 * `witness`, agrees with the likeliest one within 3 u at every allowed placement.
 */
export type Report = 'faulty' | 'good' | 'masked' | 'unprobed'

export type PartReport = {
  ref: string
  report: Report
  /** Of being faulty, 0 to 1. */
  probability: number
  /** The part's faults that the readings leave, the likeliest first; their probabilities add up to that of the part. */
  kinds: { fault: Fault; probability: number }[]
  /** Refs of the parts behind or beside which this one cannot be seen. */
  maskedBy: string[]
  /** What would tell the state of a masked part. */
  unmask: Action | null
  /** With `masked`: two fault sets that agree within 3 u at every allowed placement, in one of which this part is good and in the other not. */
  witness: { likely: Fault[]; other: Fault[] } | null
}

/** Fault sets whose readings agree within 3 u at every allowed placement, the likeliest first. An empty set is a good board. */
export type FaultClass = { sets: Fault[][]; probability: number }

export type Next = {
  action: Action
  /** Expected information, bits. */
  bits: number
  /** In units of one touch at the function the dial stands at. */
  effort: number
  /** One sentence, with the numbers. */
  why: string
}

/** `notes`: plain sentences, such as the sources taken as typical, readings that look like another place, parts that cannot be told apart. */
export type Diagnosis = { parts: PartReport[]; classes: FaultClass[]; next: Next[]; notes: string[] }
