/** Random and mutated chunks into a description's stream: what comes out is held against a validator that knows nothing of the app. */
import { seededRandom, type Random } from '../../../src-core/circuit/seeded-random'
import type { Encoder } from '../../../fixtures/streams/display'
import type { MeterDescription } from '../../../src-core/meter/description'
import { seconds } from '../../../src-core/quantity/units'
import { openStream } from '../../../src-main/service/link/open-stream'
import { nextTurn, shipped } from './heard'

const upTo = (random: Random, below: number): number => Math.floor(random() * below)
const noise = (random: Random, length: number): Uint8Array => Uint8Array.from({ length }, () => upTo(random, 256))

const joined = (...pieces: Uint8Array[]): Uint8Array => {
  const whole = new Uint8Array(pieces.reduce((length, piece) => length + piece.length, 0))
  let at = 0
  for (const piece of pieces) {
    whole.set(piece, at)
    at += piece.length
  }
  return whole
}

/** One chunk: a good frame, one with something done to it, or noise. */
const chunkOf = (encoder: Encoder, random: Random): Uint8Array => {
  const frame = (): Uint8Array => encoder.encode(encoder.draw(random), random)
  const one = frame()
  const at = upTo(random, one.length)
  switch (upTo(random, 10)) {
    case 0: case 1: return one
    case 2: return one.map((byte, i) => (i === at ? byte ^ (1 << upTo(random, 8)) : byte))
    case 3: return one.map((byte, i) => (i === at || random() < 0.1 ? upTo(random, 256) : byte))
    case 4: return one.subarray(0, at)
    case 5: return one.subarray(at)
    case 6: return joined(one.subarray(0, at), noise(random, 1 + upTo(random, 3)), one.subarray(at))
    case 7: return joined(one.subarray(0, at), one.subarray(Math.min(one.length, at + 1 + upTo(random, 3))))
    case 8: return joined(one.subarray(0, at), frame().subarray(upTo(random, one.length)))
    default: return noise(random, 1 + upTo(random, 48))
  }
}

const bytesOf = (hex: string): Uint8Array => Uint8Array.from(hex.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16))

export type Fuzzed = { readings: number; rejects: number; bytes: number; impossible: string[] }

/** @param every called after each 10,000 chunks */
export const fuzz = async (
  encoder: Encoder, chunks: number, seed: number, every: () => void = () => undefined, description = shipped(encoder.description),
): Promise<Fuzzed> => {
  const random = seededRandom(seed)
  const fuzzed: Fuzzed = { readings: 0, rejects: 0, bytes: 0, impossible: [] }
  const stream = openStream(description, {
    reading: ({ raw }) => {
      fuzzed.readings += 1
      if (!encoder.valid(bytesOf(raw)) && fuzzed.impossible.length < 20) fuzzed.impossible.push(raw)
    },
    reject: () => { fuzzed.rejects += 1 },
  })
  for (let i = 0; i < chunks; i += 1) {
    const chunk = chunkOf(encoder, random)
    fuzzed.bytes += chunk.length
    const split = upTo(random, chunk.length + 1)
    // Once in a while the meter falls silent for longer than a frame may take.
    const at = seconds(i * 0.001 + Math.floor(i / 1000))
    stream.feed(chunk.subarray(0, split), at)
    stream.feed(chunk.subarray(split), at)
    if (i % 256 === 255) await nextTurn()
    if (i % 10_000 === 9_999) every()
  }
  await nextTurn()
  stream.close()
  return fuzzed
}

/** Readings that so many random bytes give. */
export const falseReadings = async (description: MeterDescription, bytes: number, seed: number): Promise<number> => {
  const random = seededRandom(seed)
  let readings = 0
  const stream = openStream(description, { reading: () => { readings += 1 }, reject: () => undefined })
  for (let fed = 0, i = 0; fed < bytes; fed += 64, i += 1) {
    stream.feed(noise(random, 64), seconds(0))
    if (i % 256 === 255) await nextTurn()
  }
  await nextTurn()
  stream.close()
  return readings
}

/** Of frames with one bit turned between two good ones: how many were read, and as something else than was shown. */
export const turnedBits = async (encoder: Encoder, frames: number, seed: number): Promise<number> => {
  const random = seededRandom(seed)
  const good = encoder.encode({ ...encoder.draw(random), shows: 'figure' }, random)
  const goodRaw = Buffer.from(good).toString('hex')
  let wrong = 0
  const stream = openStream(shipped(encoder.description), { reading: ({ raw }) => { if (raw !== goodRaw) wrong += 1 }, reject: () => undefined })
  for (let i = 0; i < frames; i += 1) {
    const turned = Uint8Array.from(good)
    const at = upTo(random, turned.length)
    turned[at] = (turned[at] ?? 0) ^ (1 << upTo(random, 8))
    stream.feed(joined(good, good, turned, good), seconds(0))
    if (i % 64 === 63) await nextTurn()
  }
  await nextTurn()
  stream.close()
  return wrong
}
