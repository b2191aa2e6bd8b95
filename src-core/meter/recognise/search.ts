/** What listening and asking have in common: how the port must be set now, what to send, and when it is over. Time is passed in. */
import type { Seconds } from '../../quantity/units'
import type { PortSettings } from '../description'
import type { RecogniseOutcome } from './outcome'

export type Step =
  /** Open the port so, then say `began`; `send` what stands there, once. */
  | { kind: 'port'; port: PortSettings; send: Uint8Array | null; words: string }
  | { kind: 'over'; outcome: RecogniseOutcome }

export type Search = {
  /** The same object until another step is due. Call it some fifty times a second. */
  step: (at: Seconds) => Step
  /** The port is open as the step says; what arrives from now on was heard so. */
  began: (at: Seconds) => void
  /** Judges what arrived, in pieces of well under a millisecond: the caller may let others have a turn between them. */
  hear: (bytes: Uint8Array, at: Seconds) => Generator<void, void>
}
