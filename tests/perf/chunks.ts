/** What a port would hand over of a recorded stream: pieces of 1 to 64 bytes, and a turn of the event loop now and then. */
import { seededRandom } from '../../src-core/circuit/seeded-random'

export const inChunks = (stream: Buffer, copies: number, seed: number): Buffer[] => {
  const random = seededRandom(seed)
  const whole = Buffer.concat(Array.from({ length: copies }, () => stream))
  const chunks: Buffer[] = []
  for (let at = 0; at < whole.length;) {
    const length = 1 + Math.floor(random() * 64)
    chunks.push(whole.subarray(at, at + length))
    at += length
  }
  return chunks
}

export const nextTurn = (): Promise<void> => new Promise((resolve) => { setImmediate(resolve) })
