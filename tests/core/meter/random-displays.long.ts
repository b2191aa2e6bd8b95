/** 10,000 random displays of each description, sent by the independent encoders. Prints its seed. */
import { expect, it } from 'vitest'
import { encoders } from '../../../fixtures/streams/encoders'
import { readDisplays } from './random-displays'

const seed = Number(process.env.SEED ?? 20_260)

it.each(encoders)(`10,000 random displays of $description (seed ${seed})`, async (encoder) => {
  const { misread, read, blank } = await readDisplays(encoder, 10_000, seed)
  process.stdout.write(`${encoder.description}: ${read} readings right, ${blank} blank displays, ${misread.length} misread (seed ${seed})\n`)
  expect(misread).toEqual([])
  expect(read + blank).toBe(10_000)
})
