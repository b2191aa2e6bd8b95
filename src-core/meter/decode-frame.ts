/** From one whole frame of a meter to a reading, as its description says; anything else is a reject, never a guess. */
import type { Seconds } from '../quantity/units'
import type { MeterDescription } from './description'
import { isFrames, type FrameFields } from './framing'
import { bitsTest } from './frame-bits'
import { textReader, type TextReader } from './frame-text'
import { valueReader } from './frame-value'
import { readingMaker, type Reject } from './make-reading'
import type { Reading } from './reading'

export type FrameDecoder = (frame: Uint8Array, at: Seconds) => Reading | Reject

const flagsReader = (rules: FrameFields['flags']): ((frame: Uint8Array) => string) => {
  const each = (rules ?? []).map(({ when, text }) => ({ holds: bitsTest(when), text }))
  return (frame) => {
    let letters = ''
    for (const { holds, text } of each) if (holds(frame)) letters += text
    return letters
  }
}

const pairs = Array.from({ length: 256 }, (_, byte) => byte.toString(16).padStart(2, '0'))
const hexOf = (frame: Uint8Array): string => {
  let hex = ''
  for (const byte of frame) hex += pairs[byte]
  return hex
}

const none: TextReader = () => ''

/**
 * Compiles a description once. The decoder takes a frame that `frameSplitter` has found whole; it never throws.
 * @throws RangeError for a description that checkDescription refuses, or one without frames.
 */
export const frameDecoder = (description: MeterDescription): FrameDecoder => {
  const { framing } = description
  if (!isFrames(framing)) throw new RangeError(`“${description.name}” does not send frames.`)
  const { fields } = framing
  const make = readingMaker(description)
  const functionOf = textReader(fields.function)
  const prefixOf = fields.prefix === undefined ? none : textReader(fields.prefix)
  const unitOf = fields.unit === undefined ? none : textReader(fields.unit)
  const rangeOf = fields.range === undefined ? none : textReader(fields.range)
  const valueOf = valueReader(fields.value, description.overload, description.negativeOverload ?? [])
  const flagsOf = flagsReader(fields.flags)

  return (frame, at) => {
    const f = functionOf(frame)
    if (f === null) return { reject: 'the frame names no function, or two' }
    const prefix = prefixOf(frame)
    if (prefix === null) return { reject: 'the frame names no prefix, or two' }
    const unit = unitOf(frame)
    if (unit === null) return { reject: 'the frame names no unit, or two' }
    const range = rangeOf(frame)
    if (range === null) return { reject: 'the frame names no range, or two' }
    const value = valueOf(frame)
    if (typeof value === 'object' && 'reject' in value) return value
    return make({ function: f, value, prefix, unit, flags: flagsOf(frame), range }, at, hexOf(frame))
  }
}
