/** A seeded sample of random-displays.long.ts. */
import { expect, it } from 'vitest'
import { encoders } from '../../../fixtures/streams/encoders'
import { readDisplays } from './random-displays'

it.each(encoders)('500 random displays of $description are read as they were shown', async (encoder) => {
  const { misread, read, blank } = await readDisplays(encoder, 500, 20_260)
  expect(misread).toEqual([])
  expect(read + blank).toBe(500)
})

it('would see a misread display', async () => {
  const [encoder] = encoders
  if (encoder === undefined) throw new Error('There is no encoder.')
  const wrong = { ...encoder, encode: (...[display, random]: Parameters<typeof encoder.encode>) => encoder.encode({ ...display, count: display.count + 1 }, random) }
  expect((await readDisplays(wrong, 100, 1)).misread.length).toBeGreaterThan(80)
})
