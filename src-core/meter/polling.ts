/** Asking a meter that sends nothing by itself: one question at a time, again after a time-out, and only what answers one counts. */
import { seconds, type Seconds } from '../quantity/units'
import type { Poll } from './framing'

export type Polling = {
  poll: Poll
  /** When the last question left; null before the first. */
  sentAt: Seconds | null
  /** A question waits for its answer. */
  open: boolean
  /** How often the open question was asked again. */
  again: number
  silent: boolean
}
export type PollInput = { kind: 'tick'; at: Seconds } | { kind: 'frame'; at: Seconds }
export type PollOutput =
  | { kind: 'send' }
  /** The frame answers the open question. */
  | { kind: 'answer' }
  /** It answers none: nothing can be said of its age. */
  | { kind: 'unasked' }
  /** No answer to the question nor to its repetitions. */
  | { kind: 'silent' }
export type Polled = { state: Polling; outputs: PollOutput[] }

export const startPolling = (poll: Poll): Polling => ({ poll, sentAt: null, open: false, again: 0, silent: false })

/** What times are added up to differ by less than this. */
const rounding = 1e-9

/** When a tick is next of use. */
export const pollWakesAt = ({ poll, sentAt, open }: Polling): Seconds =>
  seconds(sentAt === null ? 0 : sentAt + (open ? poll.timeoutSeconds : poll.everySeconds))

const onTick = (state: Polling, at: Seconds): Polled => {
  if (at < pollWakesAt(state) - rounding) return { state, outputs: [] }
  const sent: Polling = { ...state, sentAt: at, open: true, again: 0 }
  if (!state.open) return { state: sent, outputs: [{ kind: 'send' }] }
  if (state.again < state.poll.retries) return { state: { ...sent, again: state.again + 1 }, outputs: [{ kind: 'send' }] }
  const given: Polled = { state: { ...state, open: false, silent: true }, outputs: state.silent ? [] : [{ kind: 'silent' }] }
  const next = onTick(given.state, at)
  return { state: next.state, outputs: [...given.outputs, ...next.outputs] }
}

/** Pure. `frame` is a whole one that made sense; a broken one leaves the question open until its time is out. */
export const polling = (state: Polling, input: PollInput): Polled => {
  if (input.kind === 'tick') return onTick(state, input.at)
  if (!state.open) return { state, outputs: [{ kind: 'unasked' }] }
  return { state: { ...state, open: false, silent: false }, outputs: [{ kind: 'answer' }] }
}
