/** From one line of a meter to a reading, as its description says; anything else is a reject, never a guess. */
import type { Seconds } from '../quantity/units'
import type { MeterDescription } from './description'
import { linesOf } from './framing'
import { latin1, lineBytes, lineText } from './line-bytes'
import { readingMaker, type Reject } from './make-reading'
import type { Reading } from './reading'

export type LineDecoder = (line: Uint8Array | string, at: Seconds) => Reading | Reject

/** The whole line must match, whether or not the pattern is anchored. @throws SyntaxError when the pattern does not compile. */
export const wholeLine = (pattern: string): RegExp => {
  new RegExp(pattern)
  return new RegExp(`^(?:${pattern})$`)
}

/**
 * Compiles a description once. The decoder takes a line without its delimiter, as bytes or with one character a byte
 * (Latin-1); it never throws. Unit, resolution and range come out in SI.
 * @throws SyntaxError or RangeError for a description that checkDescription refuses, or one without lines.
 */
export const lineDecoder = (description: MeterDescription): LineDecoder => {
  const { delimiter, maxBytes } = linesOf(description)
  if (description.pattern === undefined) throw new RangeError(`“${description.name}” has no pattern.`)
  const pattern = wholeLine(description.pattern)
  const make = readingMaker(description)

  return (line, at) => {
    const oneCharacterAByte = typeof line === 'string' ? line : latin1(line)
    if (oneCharacterAByte.length > maxBytes) return { reject: `the line is longer than ${maxBytes} bytes` }
    const bytes = lineBytes(oneCharacterAByte)
    if (bytes === null) return { reject: 'the line is not made of bytes' }
    const groups = pattern.exec(lineText(oneCharacterAByte, bytes))?.groups
    if (groups === undefined) return { reject: oneCharacterAByte === '' ? 'an empty line' : 'the line does not fit the pattern' }
    const text = (name: string): string => groups[name]?.trim() ?? ''
    return make({
      function: text('function'), value: text('value'), prefix: text('prefix'), unit: text('unit'), flags: groups.flags ?? '', range: text('range'),
    }, at, bytes.hex + delimiter)
  }
}
