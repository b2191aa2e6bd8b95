import { readFileSync, writeFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { madeStream, streamSeed } from '../../../fixtures/streams/make-streams'
import { lineDecoder } from '../../../src-core/meter/decode-line'
import { linesOf } from '../../../src-core/meter/framing'
import { meterDescription } from '../../../src-core/meter/description'
import type { Reading } from '../../../src-core/meter/reading'
import { seconds } from '../../../src-core/quantity/units'
import { frameLines } from '../../../src-main/service/link/frame-lines'

const fixture = (path: string): URL => new URL(`../../../fixtures/${path}`, import.meta.url)

describe.each(['a', 'b'] as const)('the stream of line meter %s', (meter) => {
  const made = madeStream(meter, streamSeed)
  const file = fixture(`streams/line-meter-${meter}.txt`)
  // MAKE_STREAMS=1 writes the files anew after a change of make-streams.ts.
  if (process.env.MAKE_STREAMS === '1') writeFileSync(file, made.bytes)

  it('is what make-streams.ts makes', () => {
    expect(Buffer.compare(readFileSync(file), Buffer.from(made.bytes))).toBe(0)
  })

  it('gives every value that was sent, and a reject for every broken line', async () => {
    const description = meterDescription.parse(JSON.parse(readFileSync(fixture(`meters/line-meter-${meter}.json`), 'utf8')))
    const decode = lineDecoder(description)
    const got: unknown[] = []
    const framer = frameLines(linesOf(description), {
      line: (line, at) => {
        const result = decode(line, at)
        got.push('reject' in result ? null : { function: result.function, value: result.value, resolution: result.resolution })
      },
      reject: () => got.push(null),
    })
    framer.feed(made.bytes, seconds(0))
    await new Promise((resolve) => { setImmediate(resolve) })
    framer.close()
    // A run without an end is rejected when it grows too long, ahead of lines still in the parser: order is not compared there.
    expect(got.filter((one) => one !== null)).toEqual(made.sent.filter((one) => one !== null))
    expect(got.filter((one) => one === null).length).toBe(made.sent.filter((one) => one === null).length)
    expect(made.sent.filter((one) => one !== null).length).toBeGreaterThan(400)
  })

  it('gives the same readings and as many rejects however it is cut', async () => {
    const description = meterDescription.parse(JSON.parse(readFileSync(fixture(`meters/line-meter-${meter}.json`), 'utf8')))
    const decode = lineDecoder(description)
    const heard = async (lengths: number[]): Promise<{ readings: Reading[]; rejects: number }> => {
      const readings: Reading[] = []
      let rejects = 0
      const framer = frameLines(linesOf(description), {
        line: (line, at) => {
          const result = decode(line, at)
          if ('reject' in result) rejects += 1
          else readings.push(result)
        },
        reject: () => { rejects += 1 },
      })
      for (let from = 0, i = 0; from < made.bytes.length; i += 1) {
        const length = lengths[i % lengths.length] ?? 1
        framer.feed(made.bytes.subarray(from, from + length), seconds(0))
        from += length
      }
      await new Promise((resolve) => { setImmediate(resolve) })
      framer.close()
      return { readings, rejects }
    }
    const whole = await heard([made.bytes.length])
    expect(await heard([1])).toEqual(whole)
    await fc.assert(fc.asyncProperty(fc.array(fc.integer({ min: 1, max: 64 }), { minLength: 1, maxLength: 50 }), async (lengths) => {
      expect(await heard(lengths)).toEqual(whole)
    }), { numRuns: 30 })
  })
})
