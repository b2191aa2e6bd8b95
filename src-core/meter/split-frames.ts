/** From bytes to whole frames: finds where a frame begins, tests what every frame has in common, and finds its way again after noise. */
import { seconds, type Seconds } from '../quantity/units'
import { checkTester } from './check-value'
import { bitsTest } from './frame-bits'
import { knownBits, surelyNoNoise, surelyWhole } from './frame-marks'
import { leastFrame } from './frame-places'
import type { FrameFraming } from './framing'
import type { Reject } from './make-reading'
import type { Reading } from './reading'

export type FrameListener = {
  reading: (reading: Reading) => void
  /** `line`: what arrived, of a meter that sends lines. */
  reject: (why: string, at: Seconds, line?: string) => void
}
export type FrameSplitter = { feed: (chunk: Uint8Array, at: Seconds) => void }

/** When bytes came, by the place they end at. */
type Stretch = { end: number; at: Seconds }

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
      const least = Math.max(countAt + 1, leastFrame(framing))
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
      const least = leastFrame(framing)
      const stands = (mark: readonly number[], bytes: Uint8Array, at: number): boolean => {
        for (let i = 0; i < mark.length; i += 1) if (bytes[at + i] !== mark[i]) return false
        return true
      }
      return (bytes, from, to) => {
        const begun = begins(bytes, from, to)
        if (typeof begun === 'string') return begun
        const most = Math.min(to, from + maxBytes)
        for (let at = from + start.length; at < most; at += 1) {
          if (at + end.length <= most && stands(end, bytes, at)) return at + end.length - from < least ? none : at + end.length - from
          // A start before the end: the frame that began here was cut off.
          if (at + start.length <= to && stands(start, bytes, at)) return none
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

/** A frame comes in one piece: the rest of one that stopped this many seconds ago will not come any more (common practice, no source). */
const staleAfter = 0.5
const mostTold = 64
const noFrame = 'bytes that belong to no frame'

/**
 * Where marks are few, a frame waits for the next to begin where it ends: after noise once, or always.
 * @param decode makes a reading of a whole frame or says why not. Bytes that are no frame are told as one reject where they
 * begin and one for every 64 more. Memory is bounded by the longest frame and one chunk.
 */
export const frameSplitter = (framing: FrameFraming, decode: (frame: Uint8Array, at: Seconds) => Reading | Reject, listener: FrameListener): FrameSplitter => {
  const find = finder(framing)
  const fixedHold = framing.fixed === undefined ? () => true : bitsTest(framing.fixed)
  const checkHolds = framing.check === undefined ? () => true : checkTester(framing.check)
  const known = knownBits(framing)
  const asksForSecond = known.all < surelyNoNoise && framing.poll === undefined
  const asksForNext = known.inside < surelyWhole && framing.poll === undefined
  /** A frame that makes no sense is a frame by its marks alone. */
  const sureByMarks = framing.check !== undefined || known.all >= surelyNoNoise

  let kept: Uint8Array = new Uint8Array(0)
  let arrivals: Stretch[] = []
  let lastArrival: Stretch = { end: 0, at: seconds(0) }
  let rhythm: 'none' | 'one' | 'sure' = 'none'
  let held: { decoded: Reading | Reject; at: Seconds } | null = null
  /** Bytes passed over since the last frame. */
  let passed = 0

  const pass = (why: string, at: Seconds): void => {
    if (held !== null) listener.reject('a frame that none follows', held.at)
    held = null
    rhythm = 'none'
    if (passed % mostTold === 0) listener.reject(why, at)
    passed += 1
  }

  const tell = (decoded: Reading | Reject, at: Seconds): void => {
    if ('reject' in decoded) listener.reject(decoded.reject, at)
    else listener.reading(decoded)
  }

  /** Takes a frame that its marks have found; null, or why it is none. */
  const take = (frame: Uint8Array, at: Seconds): string | null => {
    if (!fixedHold(frame)) return noFrame
    if (!checkHolds(frame)) return 'the check value is wrong'
    const decoded = decode(frame, at)
    if ('reject' in decoded && !sureByMarks && (rhythm !== 'sure' || asksForNext)) return decoded.reject
    passed = 0
    if (held !== null) tell(held.decoded, held.at)
    held = null
    const waits = asksForNext || (asksForSecond && rhythm === 'none')
    rhythm = rhythm === 'none' && asksForSecond ? 'one' : 'sure'
    if (waits) held = { decoded, at }
    else tell(decoded, at)
    return null
  }

  /** @param complete no more bytes will come */
  const search = (bytes: Uint8Array, complete: boolean): number => {
    let from = 0
    const at = (end: number): Seconds => (arrivals.find((stretch) => stretch.end >= end) ?? lastArrival).at
    while (from < bytes.length) {
      const found = find(bytes, from, bytes.length)
      if (found === more && !complete) break
      const why = found === more ? 'the rest of a frame did not come' : found === none ? noFrame : take(bytes.subarray(from, from + found), at(from + found))
      if (why === null && typeof found === 'number') from += found
      else {
        from += 1
        pass(why ?? noFrame, at(from))
      }
    }
    return from
  }

  const feed = (chunk: Uint8Array, at: Seconds): void => {
    if (chunk.length === 0) return
    if (kept.length > 0 && at - lastArrival.at > staleAfter) {
      search(kept, true)
      kept = new Uint8Array(0)
      arrivals = []
    }
    let bytes = chunk
    if (kept.length > 0) {
      bytes = new Uint8Array(kept.length + chunk.length)
      bytes.set(kept)
      bytes.set(chunk, kept.length)
    }
    lastArrival = { end: bytes.length, at }
    arrivals.push(lastArrival)
    const from = search(bytes, false)
    kept = bytes.slice(from)
    arrivals = arrivals.filter(({ end }) => end > from).map(({ end, at: came }) => ({ end: end - from, at: came }))
  }
  return { feed }
}
