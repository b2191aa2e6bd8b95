/** Asks a meter for each of its frames, at the times core says. */
import type { MeterDescription } from '../../../src-core/meter/description'
import type { Poll } from '../../../src-core/meter/framing'
import { polling, pollWakesAt, startPolling, type PollInput, type PollOutput } from '../../../src-core/meter/polling'
import type { Seconds } from '../../../src-core/quantity/units'
import { createAlarm } from './alarm'
import type { ConversationListener, Send } from './conversation'
import { openStream, type ReadingStream } from './open-stream'

export const pollMeter = (
  description: MeterDescription, poll: Poll, listener: Pick<ConversationListener, 'reading' | 'reject' | 'silent'>, send: Send, clock: () => Seconds,
): ReadingStream => {
  const question = Buffer.from(poll.send, 'hex')
  let state = startPolling(poll)
  let closed = false
  const alarm = createAlarm(clock, () => { take({ kind: 'tick', at: clock() }) })

  /** What the input itself came to. */
  const take = (input: PollInput): PollOutput['kind'] | null => {
    const done = polling(state, input)
    state = done.state
    for (const { kind } of done.outputs) {
      if (kind === 'send') send(question)
      else if (kind === 'silent') listener.silent(null)
    }
    if (!closed) alarm.set(pollWakesAt(state))
    return done.outputs[0]?.kind ?? null
  }
  const stream = openStream(description, {
    reading: (reading) => {
      if (take({ kind: 'frame', at: reading.at }) === 'answer') listener.reading(reading)
      else listener.reject('a frame that nobody asked for')
    },
    reject: listener.reject,
  }, true)
  take({ kind: 'tick', at: clock() })
  return {
    feed: stream.feed,
    close: () => {
      closed = true
      alarm.stop()
      stream.close()
    },
  }
}
