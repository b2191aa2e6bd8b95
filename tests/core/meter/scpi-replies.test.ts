/** A seeded sample of scpi-replies.long.ts. */
import { expect, it } from 'vitest'
import { fuzzReplies, misreadReplies } from './scpi-replies'

it('500 random replies in the forms of IEEE 488.2 are read as they were written', () => expect(misreadReplies(500, 20_260)).toEqual([]))

it('of damaged replies only those that are still replies are read', () => {
  const { readings, impossible } = fuzzReplies(5000, 20_260)
  expect(impossible).toEqual([])
  expect(readings).toBeGreaterThan(200)
})
