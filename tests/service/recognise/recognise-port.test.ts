/** Recognising over real pseudo-terminals behind the model of the line: a sample of the full matrix, and what can go wrong with the port. */
import { performance } from 'node:perf_hooks'
import { afterEach, describe, expect, it } from 'vitest'
import { noises } from '../../../fixtures/line/noise'
import { silentMeter } from '../../../fixtures/line/meters'
import { openPtyLine, pythonIsHere, type PtyLine } from '../../../fixtures/line/pty-line'
import { plainFormat } from '../../../src-core/meter/recognise/line-format'
import { seconds } from '../../../src-core/quantity/units'
import { openPort } from '../../../src-main/service/link/open-port'
import { createPortRecogniser, wasStopped, type RecogniseProgress } from '../../../src-main/service/link/recognise-port'
import { described, framesToBreak, meterAt, shippedDescriptions } from '../../core/meter/recognise/recorded'
import { expectRecognised, recogniseOverLine } from './over-line'

const clock = () => seconds(performance.now() / 1000)
const plain = described['Line meter A'].port

describe.skipIf(!pythonIsHere)('recognising over the line', () => {
  it('finds a meter that was set to another speed', async () => {
    await expectRecognised('Mirror meter D', 1200, { every: 0.3, phase: 0.1, from: 20 })
  })

  it('finds a meter that only answers, after the technician agreed, and sends nothing before', async () => {
    await expectRecognised('Polled meter E', 2400, { every: 0.3, phase: 0.1, from: 20 })
  })

  it('says none of noise', async () => {
    const [first] = noises(5, 0, framesToBreak()).slice(4)
    if (first === undefined) throw new Error('There is no such noise.')
    const { outcome, seconds: lasted } = await recogniseOverLine(first.meter, plainFormat, false)
    expect(outcome.found).toEqual([])
    expect(lasted).toBeLessThan(10)
  })
})

describe.skipIf(!pythonIsHere)('a port that is to be recognised', () => {
  let line: PtyLine | null = null
  const opened = async (meter = silentMeter(plain)): Promise<PtyLine> => {
    line = await openPtyLine(meter, plainFormat)
    return line
  }
  afterEach(async () => {
    await line?.close()
    line = null
  })

  it('is free again when it is stopped', async () => {
    const { path } = await opened()
    const shown: (RecogniseProgress | null)[] = []
    const recogniser = createPortRecogniser(clock, (each) => { shown.push(each) })
    const outcome = recogniser.recognise(path, shippedDescriptions, false).catch((error: unknown) => error)
    await expect.poll(() => shown.length).toBeGreaterThan(0)
    expect(shown[0]).toMatchObject({ path, words: 'Listening at 9600 baud, 8 none 1' })
    expect(recogniser.underWay()).toBe(true)
    await recogniser.stop()
    expect(wasStopped(await outcome)).toBe(true)
    expect(shown.at(-1)).toBeNull()
    expect(recogniser.underWay()).toBe(false)
    const port = await openPort(path, plain, { bytes: () => undefined, closed: () => undefined })
    port.close()
    await port.freed
  })

  it('is recognised for whoever asked last', async () => {
    const { path } = await opened(meterAt('Line meter A', plain, { every: 0.2, phase: 0, from: 0 }))
    const recogniser = createPortRecogniser(clock, () => undefined)
    const first = recogniser.recognise(path, shippedDescriptions, false).catch((error: unknown) => error)
    const second = await recogniser.recognise(path, shippedDescriptions, false)
    expect(wasStopped(await first)).toBe(true)
    expect(second.found[0]).toMatchObject({ description: 'Line meter A', settings: plain, confidence: 'sure' })
    expect(second.found[0]?.sampleWords).toMatch(/^(resistance|continuity|diode test|DC volts|capacitance) /)
  })

  it('gets the words of a connect when it is not there or in use', async () => {
    const { path } = await opened()
    const recogniser = createPortRecogniser(clock, () => undefined)
    await expect(recogniser.recognise(`${path}-none`, shippedDescriptions, false)).rejects.toThrow(/There is no port .*Plug the cable in/)
    const port = await openPort(path, plain, { bytes: () => undefined, closed: () => undefined })
    await expect(recogniser.recognise(path, shippedDescriptions, false)).rejects.toThrow(/in use by another program/)
    port.close()
    await port.freed
  })

  it('says that it went away', async () => {
    const { path, close } = await opened()
    const shown: (RecogniseProgress | null)[] = []
    const recogniser = createPortRecogniser(clock, (each) => { shown.push(each) })
    const outcome = recogniser.recognise(path, shippedDescriptions, false).catch((error: unknown) => error)
    await expect.poll(() => shown.length).toBeGreaterThan(0)
    await new Promise((resolve) => { setTimeout(resolve, 200) })
    await close()
    expect(String(await outcome)).toMatch(/went away while it was listened to .*Plug it in again|There is no port/)
  })
})
