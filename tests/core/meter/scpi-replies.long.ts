/** 10,000 random replies of the SCPI meter, and a million damaged ones. Prints its seed. */
import { expect, it } from 'vitest'
import { fuzzReplies, misreadReplies } from './scpi-replies'

const seed = Number(process.env.SEED ?? 20_260)

it(`10,000 random replies (seed ${seed})`, () => expect(misreadReplies(10_000, seed)).toEqual([]))

it(`1,000,000 damaged replies (seed ${seed})`, () => {
  const { readings, impossible } = fuzzReplies(1_000_000, seed)
  process.stdout.write(`scpi-meter: ${readings} of 1,000,000 damaged replies still read, ${impossible.length} that are none (seed ${seed})\n`)
  expect(impossible).toEqual([])
})
