/** Draws random displays, lets the independent encoder send them, and says which the app read otherwise than they were shown. */
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { expected, type Encoder, type Expected } from '../../../fixtures/streams/display'
import { asExpected, heard, shipped } from './heard'

export type Misread = { shown: Expected; read: Expected }

/** Every frame is compared with what came of it; the stream is cut at random places. `read`: how many readings came. */
export const readDisplays = async (encoder: Encoder, count: number, seed: number): Promise<{ misread: Misread[]; read: number; blank: number }> => {
  const random = seededRandom(seed)
  const frames = Array.from({ length: count }, () => {
    const display = encoder.draw(random)
    const bytes = encoder.encode(display, random)
    return { bytes, shown: expected(encoder, display, bytes) }
  })
  const bytes = Uint8Array.from(frames.flatMap((frame) => [...frame.bytes]))
  const { readings, rejects } = await heard(shipped(encoder.description), bytes, Array.from({ length: 97 }, () => 1 + Math.floor(random() * 64)))
  const shown = frames.map((frame) => frame.shown).filter((each) => each !== null)
  const misread = Array.from({ length: Math.max(shown.length, readings.length) }, (_, i) => {
    const reading = readings[i]
    return { shown: shown[i] ?? null, read: reading === undefined ? null : asExpected(reading) }
  }).filter(({ shown: one, read }) => JSON.stringify(sorted(one)) !== JSON.stringify(sorted(read)))
  const blank = frames.length - shown.length
  if (rejects.length !== blank) throw new Error(`${encoder.description}: ${blank} blank displays, and ${rejects.length} rejects: ${[...new Set(rejects)].join('; ')}`)
  return { misread, read: readings.length, blank }
}

const sorted = (each: Expected): unknown => (each === null ? null : Object.fromEntries(Object.entries(each).sort(([one], [other]) => (one < other ? -1 : 1))))
