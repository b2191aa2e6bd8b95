/** What is said and heard over one open port, by the description's kind: listened to, asked for each frame, or spoken to in SCPI. */
import type { MeterDescription } from '../../../src-core/meter/description'
import type { MeterFunction, Reading } from '../../../src-core/meter/reading'
import type { ScpiSession, WantedSetting } from '../../../src-core/meter/scpi/session-state'
import type { Seconds } from '../../../src-core/quantity/units'
import { openStream } from './open-stream'
import { pollMeter } from './poll-meter'
import { speakScpi } from './speak-scpi'

export type ConversationListener = {
  reading: (reading: Reading) => void
  /** `line`: what arrived, of a meter that sends lines. */
  reject: (why: string, at?: Seconds, line?: string) => void
  /** A meter that is asked answers nothing, or, as the text says, gives no reading. */
  silent: (text: string | null) => void
  identified: (reply: string) => void
  /** Another instrument answers where `was` did. */
  another: (was: string, is: string) => void
  trouble: (text: string) => void
  cannotSet: (which: MeterFunction) => void
}

export type Conversation = {
  feed: (chunk: Uint8Array, at: Seconds) => void
  /** It says by itself when the meter is silent. */
  asks: boolean
  want: (wanted: WantedSetting | null) => void
  /** Puts the meter back as it was found; null where nothing has to be. Resolves as well once it is closed. */
  leave: () => Promise<void> | null
  /** What a conversation over the same cable, opened anew, goes on from. */
  memory: () => ScpiSession | null
  close: () => void
}

export type Send = (bytes: Uint8Array) => void

export const openConversation = (
  description: MeterDescription, listener: ConversationListener, send: Send, clock: () => Seconds, memory: ScpiSession | null,
): Conversation => {
  const { framing } = description
  if (framing.kind === 'scpi') return speakScpi(description, framing, listener, send, clock, memory)
  const silentParts = { want: () => undefined, leave: () => null, memory: () => null }
  if (framing.poll !== undefined) return { ...pollMeter(description, framing.poll, listener, send, clock), ...silentParts, asks: true }
  return { ...openStream(description, listener, true), ...silentParts, asks: false }
}
