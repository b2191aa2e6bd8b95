/** What comes of one input at the bench: events to store, tones to play, what the meter taught, or why nothing came of it. */
import { proofBegun, type Bench } from './bench'
import type { RunEventBody } from './event'
import type { MeterPatch } from './taught'

export type Tone = 'contact' | 'pass' | 'fail' | 'lift' | 'wrong-function' | 'silent'

export type Conducted = {
  bench: Bench
  events: RunEventBody[]
  tones: Tone[]
  learned: MeterPatch | null
  /** Why a press did nothing, in a sentence. */
  refused: string | null
}

export const quiet = (bench: Bench): Conducted => ({ bench, events: [], tones: [], learned: null, refused: null })
export const refuse = (bench: Bench, refused: string): Conducted => ({ ...quiet(bench), refused })

export const withPatch = (bench: Bench, patch: MeterPatch | null): Bench =>
  patch === null ? bench : { ...bench, context: { ...bench.context, meter: { ...bench.context.meter, ...patch } } }

/** The proof that the board is de-energised does not hold any more; nothing where none of it was made yet. */
export const lapse = (bench: Bench, because: string): RunEventBody[] => (proofBegun(bench.run) ? [{ kind: 'proof-lapsed', because }] : [])

export const chargedBecause = 'The board is charged'

/** Capture.md, rule 13: a reading that only a voltage on the board can give. */
export const boardIsCharged: RunEventBody = {
  kind: 'proof-lapsed', because: `${chargedBecause}: a negative value showed on a board said to be de-energised. Stop, and discharge it`,
}
