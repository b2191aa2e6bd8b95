/** A meter that is asked: when the questions leave, and which frames count. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { polling, pollWakesAt, startPolling, type Polling, type PollOutput } from '../../../src-core/meter/polling'
import { seconds } from '../../../src-core/quantity/units'

const poll = { send: '3f', everySeconds: 0.5, timeoutSeconds: 0.3, retries: 2 }

/** Replays ticks every 10 ms and the answers given, s; says what came out and when. */
const replay = (until: number, answers: readonly number[], settings = poll): string[] => {
  let state: Polling = startPolling(settings)
  const said: string[] = []
  const note = (at: number, outputs: PollOutput[]): void => { for (const { kind } of outputs) said.push(`${at.toFixed(2)} ${kind}`) }
  for (let tick = 0; tick <= Math.round(until * 100); tick += 1) {
    const at = tick / 100
    for (const answer of answers) {
      if (Math.abs(answer - at) > 0.001) continue
      const done = polling(state, { kind: 'frame', at: seconds(at) })
      state = done.state
      note(at, done.outputs)
    }
    const done = polling(state, { kind: 'tick', at: seconds(at) })
    state = done.state
    note(at, done.outputs)
  }
  return said
}

describe('polling', () => {
  it('asks everySeconds after the last question, once that was answered', () => {
    expect(replay(1.2, [0.1, 0.65, 1.1])).toEqual(['0.00 send', '0.10 answer', '0.50 send', '0.65 answer', '1.00 send', '1.10 answer'])
  })

  it('asks again after the time-out, then says that the meter is silent, once, and goes on asking', () => {
    expect(replay(1.9, [])).toEqual(['0.00 send', '0.30 send', '0.60 send', '0.90 silent', '1.10 send', '1.40 send', '1.70 send'])
  })

  it('hears the meter again after silence, and says a later silence anew', () => {
    expect(replay(3.3, [1.2]).filter((each) => !each.endsWith('send'))).toEqual(['0.90 silent', '1.20 answer', '2.50 silent'])
  })

  it('does not ask before the answer, however short everySeconds is', () => {
    expect(replay(0.5, [0.2], { ...poll, everySeconds: 0.05 })).toEqual(['0.00 send', '0.20 answer', '0.20 send', '0.50 send'])
  })

  it('counts no frame that nobody asked for: neither a second to one question, nor one after silence', () => {
    expect(replay(0.4, [0.1, 0.2])).toEqual(['0.00 send', '0.10 answer', '0.20 unasked'])
    expect(replay(1.05, [0.95], { ...poll, everySeconds: 1 })).toEqual(['0.00 send', '0.30 send', '0.60 send', '0.90 silent', '0.95 unasked'])
  })

  it('never has two questions open, and takes one answer a question at most', () => {
    fc.assert(fc.property(
      fc.array(fc.record({ after: fc.double({ min: 0, max: 1, noNaN: true }), frame: fc.boolean() }), { maxLength: 60 }),
      fc.record({ everySeconds: fc.double({ min: 0.02, max: 2, noNaN: true }), timeoutSeconds: fc.double({ min: 0.05, max: 2, noNaN: true }), retries: fc.integer({ min: 0, max: 3 }) }),
      (inputs, times) => {
        let state = startPolling({ send: '3f', ...times })
        let [at, sent, answered, lastSent, wasOpen] = [0, 0, 0, -Infinity, false]
        for (const { after, frame } of inputs) {
          at += after
          const done = polling(state, { kind: frame ? 'frame' : 'tick', at: seconds(at) })
          for (const { kind } of done.outputs) {
            if (kind === 'send') {
              const least = wasOpen ? times.timeoutSeconds : times.everySeconds
              expect(at - lastSent).toBeGreaterThanOrEqual(least - 1e-6)
              sent += 1
              lastSent = at
            }
            if (kind === 'answer') answered += 1
          }
          ;({ state } = done)
          wasOpen = state.open
          expect(answered).toBeLessThanOrEqual(sent)
          expect(pollWakesAt(state)).toBeGreaterThanOrEqual(0)
        }
      }))
  })
})
