/** Carries a SCPI session over a port: lines in, messages out, and the clock. What is said is core's. */
import type { MeterDescription } from '../../../src-core/meter/description'
import type { ScpiFraming } from '../../../src-core/meter/framing'
import { scpiSession, scpiWakesAt } from '../../../src-core/meter/scpi/session'
import { resumeScpi, startScpi, type ScpiInput, type ScpiOutput, type ScpiSession, type WantedSetting } from '../../../src-core/meter/scpi/session-state'
import type { Seconds } from '../../../src-core/quantity/units'
import { createAlarm } from './alarm'
import type { Conversation, ConversationListener, Send } from './conversation'
import { frameLines } from './frame-lines'

const sameSetting = (a: WantedSetting | null, b: WantedSetting | null): boolean =>
  a === b || (a !== null && b !== null && a.step === b.step && a.function === b.function && a.range === b.range && a.about === b.about)

export const speakScpi = (
  description: MeterDescription, framing: ScpiFraming, listener: ConversationListener, send: Send, clock: () => Seconds, memory: ScpiSession | null,
): Conversation => {
  const delimiter = Buffer.from(framing.delimiter, 'hex')
  let state = memory === null ? startScpi(description, framing, 1 + Math.floor(Math.random() * 255)) : resumeScpi(memory)
  let wanted: WantedSetting | null = null
  let closed = false
  let gone = (): void => undefined
  const left = new Promise<void>((resolve) => { gone = resolve })
  const alarm = createAlarm(clock, () => { take({ kind: 'tick', at: clock() }) })

  const carryOut = (output: ScpiOutput): void => {
    switch (output.kind) {
      case 'send': send(Buffer.concat(output.messages.flatMap((message) => [Buffer.from(message, 'latin1'), delimiter]))); break
      case 'reading': listener.reading(output.reading); break
      case 'reject': listener.reject(output.why); break
      case 'identified': listener.identified(output.reply); break
      case 'another': listener.another(output.was, output.is); break
      case 'same-again': break
      case 'trouble': listener.trouble(output.text); break
      case 'cannot-set': listener.cannotSet(output.function); break
      case 'silent': listener.silent(output.text); break
      case 'left': gone(); break
    }
  }
  const take = (input: ScpiInput): void => {
    if (closed) return
    const done = scpiSession(state, input)
    state = done.state
    alarm.set(scpiWakesAt(state))
    for (const output of done.outputs) carryOut(output)
  }
  const lines = frameLines({ kind: 'lines', delimiter: framing.delimiter, maxBytes: framing.maxBytes }, {
    line: (text, at) => { take({ kind: 'line', text, raw: Buffer.concat([Buffer.from(text, 'latin1'), delimiter]).toString('hex'), at }) },
    reject: listener.reject,
  })
  take({ kind: 'tick', at: clock() })
  return {
    feed: lines.feed, asks: true,
    memory: () => state,
    want: (next) => {
      if (sameSetting(wanted, next)) return
      wanted = next
      take({ kind: 'want', wanted: next, at: clock() })
    },
    leave: () => {
      take({ kind: 'leave', at: clock() })
      return left
    },
    close: () => {
      closed = true
      alarm.stop()
      lines.close()
      gone()
    },
  }
}
