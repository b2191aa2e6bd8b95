import { readFileSync, writeFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { frameMeters, frameSeed, madeFrames } from '../../../fixtures/streams/make-frame-streams'
import { asExpected, fixture, heard, shipped } from './heard'

describe.each(frameMeters)('the stream of %s', (meter) => {
  const made = madeFrames(meter, frameSeed)
  const file = fixture(`streams/${meter}.bin`)
  const good = made.sent.filter((each) => each !== null)
  // MAKE_STREAMS=1 writes the files anew after a change of make-frame-streams.ts.
  if (process.env.MAKE_STREAMS === '1') writeFileSync(file, made.bytes)

  it('is what make-frame-streams.ts makes', () => {
    expect(Buffer.compare(readFileSync(file), Buffer.from(made.bytes))).toBe(0)
  })

  it('gives every display that was sent, in order, and nothing for what was spoilt', async () => {
    const { readings, rejects } = await heard(shipped(meter), made.bytes)
    expect(readings.map(asExpected)).toEqual(good)
    expect(good.length).toBeGreaterThan(400)
    expect(rejects.length).toBeGreaterThanOrEqual(made.sent.filter((each) => each === null).length)
  })

  it('gives the same readings and rejects however it is cut', async () => {
    const whole = await heard(shipped(meter), made.bytes)
    expect(await heard(shipped(meter), made.bytes, [1])).toEqual(whole)
    await fc.assert(fc.asyncProperty(fc.array(fc.integer({ min: 1, max: 64 }), { minLength: 1, maxLength: 50 }), async (lengths) => {
      expect(await heard(shipped(meter), made.bytes, lengths)).toEqual(whole)
    }), { numRuns: 20 })
  })
})
