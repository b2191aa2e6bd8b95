/** A seeded sample of the single bytes of a record; the long run changes every one. */
import { expect, it } from 'vitest'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { isFound, missed, recordBytes } from './changed-bytes'

const seed = Number(process.env.SEED ?? 20_260)

it('finds any single changed byte of a record (a seeded sample)', () => {
  const bytes = recordBytes()
  const random = seededRandom(seed)
  const places = Array.from({ length: 250 }, () => Math.floor(random() * bytes.length))
  expect(missed(bytes, places, (byte) => byte ^ (1 + Math.floor(random() * 255))), `seed ${seed}`).toEqual([])
})

it('finds nothing in the same bytes unchanged', () => {
  expect(isFound(recordBytes())).toBe(false)
})
