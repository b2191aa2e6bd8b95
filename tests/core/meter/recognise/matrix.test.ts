/** Recognising in memory: every description at every speed and line format, on the model of the line, with its time passed in. */
import { describe, expect, it } from 'vitest'
import { askedMeter } from '../../../../fixtures/line/meters'
import { seededRandom } from '../../../../src-core/circuit/seeded-random'
import { askWords, openAsking, questionOf } from '../../../../src-core/meter/recognise/asking'
import { formatOf, type LineFormat } from '../../../../src-core/meter/recognise/line-format'
import { openListening } from '../../../../src-core/meter/recognise/listening'
import type { Seconds } from '../../../../src-core/quantity/units'
import { described, meterAt, meterNames, scpiMeter, shippedDescriptions, type MeterName } from './recorded'
import { simulate } from './simulated'

const listen = (start: Seconds) => openListening(shippedDescriptions, askWords(shippedDescriptions), start)
const ask = (start: Seconds) => openAsking(shippedDescriptions, start)
const searchFor = (name: MeterName) => (name === 'Polled meter E' ? ask : listen)
const speeds = [600, 1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200]
const random = seededRandom(31)
const pace = () => ({ every: 0.2 + 0.3 * random(), phase: 100 + random(), from: Math.floor(random() * 200) })
const sevenBits: LineFormat[] = [{ dataBits: 7, parity: 'even', stopBits: 1 }, { dataBits: 7, parity: 'odd', stopBits: 1 }, { dataBits: 8, parity: 'none', stopBits: 1 }]

describe('recognising', () => {
  it.each(meterNames.flatMap((name) => speeds.map((baud): [MeterName, number] => [name, baud])))('finds %s at %i baud within 10 s', (name, baud) => {
    const own = described[name].port
    for (const errors of ['delivers', 'drops'] as const) {
      const { outcome, seconds } = simulate(searchFor(name), meterAt(name, { ...own, baud }, pace()), errors)
      expect(outcome.found[0], outcome.words).toMatchObject({ description: name, confidence: 'sure', settings: { baud, ...formatOf(own) } })
      expect(outcome.words).toMatch(new RegExp(`^“${name}” at ${baud} baud, .*sure\\.`))
      expect(seconds).toBeLessThan(10)
    }
  })

  it.each(['Line meter A', 'Line meter B'] as const)('finds %s whatever data bits and parity it was set to', (name) => {
    for (const format of sevenBits) {
      for (const baud of [1200, 2400, 9600, 19200]) {
        const { outcome, seconds } = simulate(listen, meterAt(name, { baud, ...format }, pace()))
        expect(outcome.found[0], `${baud} ${format.parity}: ${outcome.words}`).toMatchObject({ description: name, settings: { baud, dataBits: format.dataBits, parity: format.parity } })
        expect(seconds).toBeLessThan(10)
      }
    }
  })

  it('finds meters of eight bits though they were set to send a parity bit', () => {
    for (const parity of ['even', 'odd'] as const) {
      for (const name of ['Line meter A', 'Mirror meter D'] as const) {
        const { outcome } = simulate(listen, meterAt(name, { baud: 2400, dataBits: 8, parity, stopBits: 1 }, pace()))
        expect(outcome.found[0], outcome.words).toMatchObject({ description: name, settings: { baud: 2400 } })
      }
    }
  })

  it('finds a meter that sends only every 1.2 s', () => {
    for (const name of ['Line meter A', 'Packed meter C'] as const) {
      for (const phase of [100.1, 100.5, 101.1]) {
        const { outcome, seconds } = simulate(listen, meterAt(name, { ...described[name].port, baud: 9600 }, { every: 1.2, phase, from: 3 }))
        expect(outcome.found[0], outcome.words).toMatchObject({ description: name, settings: { baud: 9600 } })
        expect(seconds).toBeLessThan(10)
      }
    }
  })

  it('knows an SCPI instrument by what it says of itself', () => {
    const question = questionOf(scpiMeter) ?? new Uint8Array()
    const says = (text: string) => Uint8Array.from(text, (each) => each.charCodeAt(0))
    for (const baud of [1200, 2400, 9600, 19200]) {
      const { outcome, seconds } = simulate(ask, askedMeter(question, [says('INVENTED WORKS,BENCH 5,0042,1.3\n')], { ...scpiMeter.port, baud }))
      expect(outcome.found[0]).toMatchObject({ description: 'SCPI meter', confidence: 'sure', settings: { ...scpiMeter.port, baud }, sampleWords: 'INVENTED WORKS,BENCH 5,0042,1.3' })
      expect(seconds).toBeLessThan(10)
    }
    // IEEE 488.2, 10.14.3 (from memory): four fields.
    for (const text of ['ERROR\n', 'a,b\n', 'no end, of, a, line', 'five,fields,are,no,identity\n']) {
      expect(simulate(ask, askedMeter(question, [says(text)], scpiMeter.port)).outcome.found).toEqual([])
    }
  })
})
