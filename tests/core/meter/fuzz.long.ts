/** A million random or mutated chunks into each description, and what noise alone gives. Prints its seed and its figures. */
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'
import { expect, it } from 'vitest'
import { encoders } from '../../../fixtures/streams/encoders'
import { falseReadings, fuzz, turnedBits } from './fuzz'
import { shipped } from './heard'
import { weakest } from './weakest'

const seed = Number(process.env.SEED ?? 20_260)
const megabyte = 2 ** 20
setFlagsFromString('--expose-gc')
const collect = runInNewContext('gc') as () => void
const heapNow = (): number => {
  collect()
  return process.memoryUsage().heapUsed / megabyte
}

it.each(encoders)(`1,000,000 chunks of $description (seed ${seed})`, async (encoder) => {
  const heaps: number[] = []
  let tenThousands = 0
  const { impossible, readings, rejects, bytes } = await fuzz(encoder, 1_000_000, seed, () => {
    tenThousands += 1
    if (tenThousands % 10 === 0) heaps.push(heapNow())
  })
  const growth = (heaps[heaps.length - 1] ?? 0) - (heaps[0] ?? 0)
  process.stdout.write(`${encoder.description}: ${bytes} bytes, ${readings} readings, ${rejects} rejects, ${impossible.length} of frames that cannot be, heap ${growth.toFixed(2)} MB more (seed ${seed})\n`)
  expect(impossible).toEqual([])
  expect(heaps.length).toBe(10)
  expect(growth).toBeLessThan(2)
})

const noisyBytes = 10_000_000
it.each([...encoders.map(({ description }) => shipped(description)), weakest()])(`${noisyBytes} random bytes into $name (seed ${seed})`, async (description) => {
  const readings = await falseReadings(description, noisyBytes, seed)
  process.stdout.write(`${description.name}: ${(readings / noisyBytes) * 1e6} false readings per million random bytes (seed ${seed})\n`)
  expect((readings / noisyBytes) * 1e6).toBeLessThan(1)
})

it.each(encoders)(`one bit turned in $description (seed ${seed})`, async (encoder) => {
  const wrong = await turnedBits(encoder, 10_000, seed)
  process.stdout.write(`${encoder.description}: of 10,000 frames with one bit turned ${wrong} were read as another display (seed ${seed})\n`)
  if (/packed|polled/.test(encoder.description)) expect(wrong).toBe(0)
})
