/** Listens to bytes with one description read as one line format, and counts how much of them it explains. */
import type { Seconds } from '../../quantity/units'
import { frameDecoder } from '../decode-frame'
import { lineDecoder } from '../decode-line'
import type { MeterDescription } from '../description'
import { isFrames, type FrameFraming, type LineFraming, type Poll } from '../framing'
import type { Reading } from '../reading'
import { knownBits } from '../frame-marks'
import { frameSplitter, type FrameListener, type FrameSplitter } from '../split-frames'
import { readAgain, type LineFormat } from './line-format'

export type Score = {
  readings: number
  rejects: number
  /** Bytes heard, and those of them in valid frames. */
  heard: number
  covered: number
  /** Of the bytes that a whole frame could have held, the share in valid frames: the first and the last may be cut. */
  share: number
  /** How surely chance did not make these frames, in bits: ten more is a thousand times less likely. */
  surprise: number
  sample: Reading | null
}

export type Judge = {
  description: MeterDescription
  format: LineFormat
  hear: (bytes: Uint8Array, at: Seconds) => void
  score: () => Score
}

/** A byte of a line that fits a pattern is one of few: counted as three known bits (our choice, on the safe side). */
const bitsOfLineByte = 3

/** How many descriptions, formats and speeds chance may choose among, in bits. */
const choices = 7

const lineSplitter = ({ delimiter, maxBytes }: LineFraming, description: MeterDescription, listener: FrameListener): FrameSplitter => {
  const decode = lineDecoder(description)
  const end = (delimiter.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16))
  let kept: number[] = []
  let tooLong = false
  return {
    feed: (chunk, at) => {
      for (const byte of chunk) {
        kept.push(byte)
        const from = kept.length - end.length
        if (from >= 0 && end.every((each, index) => kept[from + index] === each)) {
          const decoded = tooLong ? { reject: 'the line is too long' } : decode(Uint8Array.from(kept.slice(0, from)), at)
          if ('reject' in decoded) listener.reject(decoded.reject, at)
          else listener.reading(decoded)
          kept = []
          tooLong = false
        } else if (kept.length > maxBytes + end.length) {
          tooLong = true
          kept = kept.slice(1 - end.length)
        }
      }
    },
  }
}

const anyPoll: Poll = { send: '00', everySeconds: 1, timeoutSeconds: 1, retries: 0 }

/** A single frame counts here: chance is reckoned by its known bits, not kept out by waiting for a second. */
const everyFrame = (framing: FrameFraming): FrameFraming => ({ ...framing, poll: framing.poll ?? anyPoll })

/** @throws RangeError for a meter that is asked in SCPI, and for a description that checkDescription refuses. */
export const openJudge = (description: MeterDescription, format: LineFormat, heardFormat: LineFormat): Judge => {
  const { framing } = description
  if (framing.kind === 'scpi') throw new RangeError(`“${description.name}” answers questions in SCPI; its bytes alone are no readings.`)
  const again = readAgain(format, heardFormat)
  let [readings, rejects, heard, covered, longest, lead, lastEnd, bits] = [0, 0, 0, 0, 0, 0, 0, 0]
  let apart = 0
  let sample: Reading | null = null

  const listener: FrameListener = {
    reading: (reading) => {
      const length = reading.raw.length / 2
      if (readings === 0) {
        lead = heard - length
        // It was listened to from the middle of a frame on: that is no broken frame.
        if (lead < length) rejects = 0
      }
      if (readings === 0 || heard - length > lastEnd) apart += 1
      readings += 1
      covered += length
      longest = Math.max(longest, length)
      lastEnd = heard
      bits += isFrames(framing) ? knownBits(framing).all : framing.delimiter.length * 4 + (length - framing.delimiter.length / 2) * bitsOfLineByte
      sample = reading
    },
    reject: () => { rejects += 1 },
  }
  const splitter = isFrames(framing) ? frameSplitter(everyFrame(framing), frameDecoder(description), listener) : lineSplitter(framing, description, listener)
  const one = new Uint8Array(1)

  return {
    description, format,
    hear: (bytes, at) => {
      for (const byte of bytes) {
        heard += 1
        const read = again(byte)
        if (read === null) continue
        one[0] = read
        splitter.feed(one, at)
      }
    },
    score: () => {
      const cut = longest - 1
      const tail = heard - lastEnd
      const whole = readings === 0 ? heard : heard - Math.min(lead, cut) - Math.min(tail, cut)
      // A frame right behind another can stand in one place only; any other anywhere in the stream.
      const surprise = readings === 0 ? 0 : bits - apart * Math.log2(Math.max(heard, 1)) - choices
      return { readings, rejects, heard, covered, share: whole === 0 ? 0 : covered / whole, surprise, sample }
    },
  }
}
