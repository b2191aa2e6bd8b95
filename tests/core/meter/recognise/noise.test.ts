/** Twenty mixtures of noise are no meter; nor is what answers a question with them. */
import { describe, expect, it } from 'vitest'
import { askedMeter, silentMeter } from '../../../../fixtures/line/meters'
import { seededRandom } from '../../../../src-core/circuit/seeded-random'
import { askWords, openAsking, questionOf } from '../../../../src-core/meter/recognise/asking'
import { openListening } from '../../../../src-core/meter/recognise/listening'
import type { Seconds } from '../../../../src-core/quantity/units'
import { noiseIsNoMeter } from './noise-cases'
import { described, framesOf, shippedDescriptions } from './recorded'
import { simulate } from './simulated'

const listen = (start: Seconds) => openListening(shippedDescriptions, askWords(shippedDescriptions), start)
const ask = (start: Seconds) => openAsking(shippedDescriptions, start)

noiseIsNoMeter([20])

describe('a port on which nothing speaks', () => {
  it('is said to be silent, and the technician is asked before a byte is sent', () => {
    const { outcome, seconds, sent } = simulate(listen, silentMeter(described['Polled meter E'].port))
    expect(outcome).toMatchObject({ found: [], words: expect.stringMatching(/^Nothing speaks on this port by itself: no byte in \d\.\d s/) as string })
    expect(outcome.ask).toMatch(/may be a supply or a controller/)
    expect(sent).toEqual([])
    expect(seconds).toBeLessThan(10)
  })

  it('has nothing to be asked where no description is for an asked meter', () => {
    const speaking = [described['Line meter A']]
    expect(simulate((start) => openListening(speaking, askWords(speaking), start), silentMeter(described['Line meter A'].port)).outcome.ask).toBeNull()
  })

  it('is sent the descriptions\' questions and nothing else, then said to fit none', () => {
    const { outcome, seconds, sent } = simulate(ask, silentMeter(described['Polled meter E'].port))
    expect(outcome).toMatchObject({ found: [], ask: null, words: expect.stringMatching(/^No description fits: \d+ questions were asked, .*Nothing answered/) as string })
    expect(new Set(sent)).toEqual(new Set(['e13f020b47', Buffer.from('*IDN?\n').toString('hex')]))
    expect(seconds).toBeLessThan(10)
  })
})

describe('what answers nonsense', () => {
  const question = questionOf(described['Polled meter E']) ?? new Uint8Array()
  const random = seededRandom(7)
  const nonsense: [string, Uint8Array[]][] = [
    ['white noise', Array.from({ length: 9 }, () => Uint8Array.from({ length: 11 }, () => Math.floor(random() * 256)))],
    ['the question itself, as an echo', [question]],
    ['frames with one wrong bit', framesOf('Polled meter E').slice(0, 9).map((frame) => frame.map((byte, at) => (at === 4 ? byte ^ 1 : byte)))],
    ['half frames', framesOf('Polled meter E').slice(0, 9).map((frame) => frame.slice(0, -2))],
    ['one frame once, then half ones', [...framesOf('Polled meter E').slice(0, 1), ...framesOf('Polled meter E').slice(1, 9).map((frame) => frame.slice(0, -2))]],
  ]
  it.each(nonsense)('is no meter: %s', (_name, answers) => {
    const { outcome } = simulate(ask, askedMeter(question, answers, described['Polled meter E'].port))
    expect(outcome.found).toEqual([])
    expect(outcome.words).toMatch(/bytes came back, but they are no answer/)
  })
})
