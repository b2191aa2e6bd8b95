/** A seeded sample of fuzz.long.ts. */
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { meterDescription } from '../../../src-core/meter/description'
import { encoders } from '../../../fixtures/streams/encoders'
import { falseReadings, fuzz, turnedBits } from './fuzz'
import { shipped } from './heard'
import { weakest } from './weakest'

describe('the validators', () => {
  it.each(encoders)('of $description takes every frame it sends, and no frame with a byte more or less', ({ draw, encode, valid }) => {
    const random = seededRandom(20_260)
    for (let i = 0; i < 300; i += 1) {
      const display = draw(random)
      const frame = encode(display, random)
      expect(valid(frame)).toBe(display.shows !== 'blank')
      expect(valid(frame.subarray(1))).toBe(false)
      expect(valid(frame.subarray(0, -1))).toBe(false)
    }
  })
  it.each(encoders.filter(({ description }) => /packed|polled/.test(description)))('of $description would see a decoder that leaves out the check value', async (encoder) => {
    const { framing, ...rest } = shipped(encoder.description)
    const careless = meterDescription.parse(JSON.parse(JSON.stringify({ ...rest, framing: { ...framing, check: undefined } })))
    expect((await fuzz(encoder, 2000, 20_260, () => undefined, careless)).impossible.length).toBeGreaterThan(5)
  })
})

describe('random and mutated chunks', () => {
  it.each(encoders)('$description: no reading but of a whole frame whose check value is right', async (encoder) => {
    const { impossible, readings, rejects } = await fuzz(encoder, 2000, 20_260)
    expect(impossible).toEqual([])
    expect(readings).toBeGreaterThan(100)
    expect(rejects).toBeGreaterThan(200)
  })
  it.each(encoders)('$description: random bytes give no reading', async ({ description }) => {
    expect(await falseReadings(shipped(description), 100_000, 20_260)).toBe(0)
  })
  it('with the least structure a description may have, less than one reading in a million random bytes', async () => {
    expect(await falseReadings(weakest(), 1_000_000, 20_260)).toBeLessThanOrEqual(1)
  })
  it.each(encoders.filter(({ description }) => /packed|polled/.test(description)))('$description: its check value finds any one bit that turns', async (encoder) => {
    expect(await turnedBits(encoder, 300, 20_260)).toBe(0)
  })
})
