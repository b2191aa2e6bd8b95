/** Recognises in real time, over a pseudo-terminal behind the model of the line. */
import { performance } from 'node:perf_hooks'
import { expect } from 'vitest'
import { openPtyLine, type PtyLine } from '../../../fixtures/line/pty-line'
import type { ScriptedMeter } from '../../../fixtures/line/line'
import { formatOf, heardWith } from '../../../src-core/meter/recognise/line-format'
import type { RecogniseOutcome } from '../../../src-core/meter/recognise/outcome'
import { seconds } from '../../../src-core/quantity/units'
import { createPortRecogniser } from '../../../src-main/service/link/recognise-port'
import { described, meterAt, shippedDescriptions, type MeterName, type Pace } from '../../core/meter/recognise/recorded'

export type OverLine = { outcome: RecogniseOutcome; seconds: number; speeds: number[]; longestHold: number }

/** How long the loop was held up at the longest, s: the serial line of a connected meter waits so long. */
const watchLoop = (): (() => number) => {
  let last = performance.now()
  let longest = 0
  const ticking = setInterval(() => {
    const now = performance.now()
    longest = Math.max(longest, now - last - 1)
    last = now
  }, 1)
  return () => {
    clearInterval(ticking)
    return longest / 1000
  }
}

/** @param ask as after the technician agreed: it listens first all the same. */
export const recogniseOverLine = async (meter: ScriptedMeter, format: Parameters<typeof openPtyLine>[1], ask: boolean): Promise<OverLine> => {
  const line: PtyLine = await openPtyLine(meter, format)
  const recogniser = createPortRecogniser(() => seconds(performance.now() / 1000), () => undefined)
  const loop = watchLoop()
  try {
    const listened = await recogniser.recognise(line.path, shippedDescriptions, false)
    if (!ask) return { outcome: listened, seconds: listened.seconds, speeds: line.speeds(), longestHold: loop() }
    expect(listened.found).toEqual([])
    expect(listened.ask).toMatch(/supply or a controller/)
    const began = performance.now()
    const outcome = await recogniser.recognise(line.path, shippedDescriptions, true)
    return { outcome, seconds: (performance.now() - began) / 1000, speeds: line.speeds(), longestHold: loop() }
  } finally {
    loop()
    await line.close()
  }
}

/** The pass mark of one case, in the sample and in the full matrix. */
export const expectRecognised = async (name: MeterName, baud: number, pace: Pace): Promise<OverLine> => {
  const own = described[name].port
  const meter = meterAt(name, { ...own, baud }, pace)
  const asked = meter.heard !== undefined
  // An asked meter is spoken to in its own line format; what it hears of a listening app does not matter.
  const result = await recogniseOverLine(meter, asked ? formatOf(own) : heardWith(formatOf(own)), asked)
  expect(result.outcome.found[0], result.outcome.words).toMatchObject({ description: name, confidence: 'sure', settings: { baud, ...formatOf(own) } })
  expect(result.seconds).toBeLessThan(10)
  return result
}
