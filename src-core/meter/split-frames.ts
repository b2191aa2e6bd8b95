/** From bytes to whole frames: finds where a frame begins, tests what every frame has in common, and finds its way again after noise. */
import type { Seconds } from '../quantity/units'
import { checkBits, checkTester } from './check-value'
import { bitsTest } from './frame-bits'
import type { FrameFraming } from './framing'
import type { Reject } from './make-reading'
import type { Reading } from './reading'

export type FrameListener = {
  reading: (reading: Reading) => void
  reject: (why: string, at: Seconds) => void
}
export type FrameSplitter = { feed: (chunk: Uint8Array, at: Seconds) => void }

/** What stands at the front of the bytes: a frame of so many, too few to tell, or nothing that begins here. */
type Found = number | 'more' | 'none'
const [more, none] = ['more', 'none'] as const

const bytesOf = (hex: string | undefined): number[] => (hex?.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16))

type Finder = (bytes: Uint8Array, from: number, to: number) => Found

const startsWith = (start: readonly number[]): Finder => (bytes, from, to) => {
  for (let at = 0; at < start.length; at += 1) {
    if (from + at >= to) return more
    if (bytes[from + at] !== start[at]) return none
  }
  return start.length
}

/** The length of the frame that begins at `from`, by its marks alone. */
const finder = (framing: FrameFraming): Finder => {
  switch (framing.kind) {
    case 'frames': {
      const [begins, end, { length }] = [startsWith(bytesOf(framing.start)), bytesOf(framing.end), framing]
      return (bytes, from, to) => {
        const begun = begins(bytes, from, to)
        if (typeof begun === 'string') return begun
        if (to - from < length) return more
        for (let at = 0; at < end.length; at += 1) if (bytes[from + length - end.length + at] !== end[at]) return none
        return length
      }
    }
    case 'counted-frames': {
      const begins = startsWith(bytesOf(framing.start))
      const { countAt, plus, maxBytes } = framing
      const least = Math.max(countAt + 1, framing.start.length / 2 + 1)
      return (bytes, from, to) => {
        const begun = begins(bytes, from, to)
        if (typeof begun === 'string') return begun
        if (from + countAt >= to) return more
        const length = (bytes[from + countAt] ?? 0) + plus
        if (length < least || length > maxBytes) return none
        return to - from < length ? more : length
      }
    }
    case 'delimited-frames': {
      const [start, end] = [bytesOf(framing.start), bytesOf(framing.end)]
      const begins = startsWith(start)
      const { maxBytes } = framing
      return (bytes, from, to) => {
        const begun = begins(bytes, from, to)
        if (typeof begun === 'string') return begun
        const last = Math.min(to, from + maxBytes) - end.length
        for (let at = from + start.length; at <= last; at += 1) {
          let matched = 0
          while (matched < end.length && bytes[at + matched] === end[matched]) matched += 1
          if (matched === end.length) return at + end.length - from
        }
        return to - from >= maxBytes ? none : more
      }
    }
    case 'indexed-frames': {
      const { length, firstIndex } = framing
      return (bytes, from, to) => {
        for (let at = 0; at < length; at += 1) {
          if (from + at >= to) return more
          if (((bytes[from + at] ?? 0) >> 4) !== firstIndex + at) return none
        }
        return length
      }
    }
  }
}

/** How many bits every frame has in common: chance makes one frame of 2^bits out of noise. */
const knownBits = (framing: FrameFraming): number => {
  const start = 'start' in framing ? (framing.start ?? '').length * 4 : 0
  const end = 'end' in framing ? (framing.end ?? '').length * 4 : 0
  const index = framing.kind === 'indexed-frames' ? framing.length * 4 : 0
  return start + end + index + Object.keys(framing.fixed ?? {}).length + (framing.check === undefined ? 0 : checkBits(framing.check))
}

/** Below this a frame that follows noise counts only once the next begins where it ends. */
const surelyNoNoise = 48
/** A frame comes in one piece: the rest of one that stopped this long ago will not come any more (common practice, no source). */
const staleAfter = 1
const mostTold = 64

/**
 * @param decode makes a reading of a whole frame or says why not. In the rhythm of frames a frame that makes no sense is a
 * counted reject; outside it, it is no frame. Memory is bounded by the longest frame and one chunk.
 */
export const frameSplitter = (framing: FrameFraming, decode: (frame: Uint8Array, at: Seconds) => Reading | Reject, listener: FrameListener): FrameSplitter => {
  const find = finder(framing)
  const fixedHold = framing.fixed === undefined ? () => true : bitsTest(framing.fixed)
  const checkHolds = framing.check === undefined ? () => true : checkTester(framing.check)
  const asksForSecond = knownBits(framing) < surelyNoNoise && framing.poll === undefined

  let kept: Uint8Array = new Uint8Array(0)
  let lastByte = 0
  /** The last frame ended where the next is awaited. */
  let inRhythm = false
  /** Bytes passed over since the last frame: told as they begin, and again for as many as a frame could have. */
  let passed = 0
  let held: Reading | null = null

  const pass = (at: Seconds): void => {
    inRhythm = false
    held = null
    if (passed % mostTold === 0) listener.reject('bytes that belong to no frame', at)
    passed += 1
  }

  /** A frame by its marks: true when it was one in content too. */
  const take = (frame: Uint8Array, at: Seconds): boolean => {
    if (!fixedHold(frame) || !checkHolds(frame)) return false
    const decoded = decode(frame, at)
    if ('reject' in decoded) {
      if (!inRhythm || held !== null) return false
      listener.reject(decoded.reject, at)
      return true
    }
    passed = 0
    if (!inRhythm && asksForSecond) {
      held = decoded
      inRhythm = true
      return true
    }
    inRhythm = true
    if (held !== null) listener.reading(held)
    held = null
    listener.reading(decoded)
    return true
  }

  return {
    feed: (chunk, at) => {
      if (kept.length > 0 && at - lastByte > staleAfter) {
        kept = new Uint8Array(0)
        pass(at)
      }
      lastByte = at
      let bytes = chunk
      if (kept.length > 0) {
        bytes = new Uint8Array(kept.length + chunk.length)
        bytes.set(kept)
        bytes.set(chunk, kept.length)
      }
      let from = 0
      while (from < bytes.length) {
        const found = find(bytes, from, bytes.length)
        if (found === more) break
        if (found !== none && take(bytes.subarray(from, from + found), at)) from += found
        else {
          pass(at)
          from += 1
        }
      }
      kept = bytes.slice(from)
    },
  }
}
