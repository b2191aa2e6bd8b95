/** The full matrix in real time: five descriptions at four speeds over the line, and every mixture of noise. Prints seconds a case. */
import { describe, expect, it } from 'vitest'
import { noises } from '../../../fixtures/line/noise'
import { plainFormat } from '../../../src-core/meter/recognise/line-format'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { framesToBreak, meterNames, type MeterName } from '../../core/meter/recognise/recorded'
import { expectRecognised, recogniseOverLine } from './over-line'

const seed = Number(process.env.SEED ?? 20_260)
const random = seededRandom(seed)
const speeds = [1200, 2400, 9600, 19200]
const cases = meterNames.flatMap((name) => speeds.map((baud): [MeterName, number] => [name, baud]))
process.stdout.write(`recognising over the line, seed ${seed}\n`)

describe('recognising over the line', () => {
  it.each(cases)('finds %s at %i baud', async (name, baud) => {
    const { outcome, seconds, longestHold } = await expectRecognised(name, baud, { every: 0.2 + 0.3 * random(), phase: random(), from: Math.floor(random() * 200) })
    process.stdout.write(`${name} at ${baud} baud: ${seconds.toFixed(1)} s, loop held up ${(longestHold * 1000).toFixed(1)} ms at most, ${outcome.words}\n`)
  })

  it.each(noises(seed, 0, framesToBreak()))('says none of $name', async ({ name, meter }) => {
    const { outcome, seconds } = await recogniseOverLine(meter, plainFormat, false)
    process.stdout.write(`${name}: none, ${seconds.toFixed(1)} s\n`)
    expect(outcome.found).toEqual([])
    expect(seconds).toBeLessThan(10)
  })
})
