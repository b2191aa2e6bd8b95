/** Every single byte of a record, changed in its lowest bit, in its case, and to something else by a seed. */
import { expect, it } from 'vitest'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { missed, recordBytes } from './changed-bytes'

const seed = Number(process.env.SEED ?? 20_260)

it('finds every single changed byte of a record', () => {
  const bytes = recordBytes()
  const all = [...bytes.keys()]
  console.log(`seed ${seed}, ${bytes.length} bytes`)
  const random = seededRandom(seed)
  expect(missed(bytes, all, (byte) => byte ^ 1)).toEqual([])
  expect(missed(bytes, all, (byte) => byte ^ 0x20)).toEqual([])
  expect(missed(bytes, all, (byte) => byte ^ (1 + Math.floor(random() * 255))), `seed ${seed}`).toEqual([])
})
