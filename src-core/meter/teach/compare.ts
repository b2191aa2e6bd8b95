/** Whether a description reads a frame as the person at the meter reads the display. */
import type { Seconds } from '../../quantity/units'
import { inWords } from '../../quantity/engineering'
import { frameDecoder } from '../decode-frame'
import { lineDecoder } from '../decode-line'
import type { MeterDescription } from '../description'
import { scaled } from '../figure'
import { isFrames } from '../framing'
import type { Reading } from '../reading'
import { frameSplitter } from '../split-frames'
import { bytesOfHex, type Example } from './example'
import { inShownWords, isFigure, readShown, type Shown } from './shown'

export type Read = Reading | { reject: string }

const at = 0 as Seconds
/** 0 °C in kelvins (SI Brochure, 9th edition, 2.3.1; from memory). */
const celsiusOffset = 273.15

/** Reads a few rounds of the same bytes, in the way they would arrive, and gives the last reading. */
export type RoundReader = (example: Pick<Example, 'round'>) => Read

const nothing: Read = { reject: 'no frame was found in the bytes' }

/** Compiles the description once. */
export const roundReader = (description: MeterDescription): RoundReader => {
  const { framing } = description
  if (framing.kind === 'lines') {
    const decode = lineDecoder(description)
    const end = bytesOfHex(framing.delimiter)
    return ({ round }) => {
      const bytes = bytesOfHex(round.repeat(3))
      const ends = [...bytes.keys()].filter((place) => end.every((byte, index) => bytes[place + index] === byte))
      const [first, second] = ends
      return first === undefined || second === undefined ? nothing : decode(bytes.slice(first + end.length, second), at)
    }
  }
  if (!isFrames(framing)) return () => nothing
  const decode = frameDecoder(description)
  return ({ round }) => {
    let last: Read = nothing
    const splitter = frameSplitter(framing, (frame, when) => {
      const read = decode(frame, when)
      if ('reject' in read) last = read
      return read
    }, { reading: (reading) => { last = reading }, reject: () => undefined })
    splitter.feed(bytesOfHex(round.repeat(4)), at)
    return last
  }
}

/** Null when it is the same; else what is read instead, as the screen says it. */
export const difference = (read: Read, shown: Shown, known: MeterDescription['flags']): string | null => {
  const typed = readShown(shown)
  if ('problem' in typed) return typed.problem
  if ('reject' in read) return `The description makes nothing of it: ${read.reject}.`
  const is = `${read.function}, ${typeof read.value === 'number' ? inWords(read.value, read.unit, read.resolution) : 'out of range'}`
  const no = `The description reads ${is}; you typed ${shown.function}, ${inShownWords(shown)}.`
  if (read.function !== shown.function) return no
  const { figure, power, celsius } = typed
  if (!isFigure(figure)) return read.value === figure ? null : no
  if (typeof read.value !== 'number') return no
  const count = scaled(1, power - figure.decimals) ?? 0
  const value = (figure.negative ? -1 : 1) * (scaled(figure.count, power - figure.decimals) ?? 0) + (celsius ? celsiusOffset : 0)
  if (Math.abs(read.value - value) > count * 0.51) return no
  if (read.resolution === null || Math.abs(read.resolution / count - 1) > 1e-6) return `${no} One count is not the same.`
  const missing = Object.values(known).find((flag) => shown.flags.includes(flag) !== read.flags.includes(flag))
  return missing === undefined ? null : `The description ${read.flags.includes(missing) ? 'reads' : 'misses'} “${missing}”, and the display does not agree.`
}
