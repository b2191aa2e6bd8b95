/** From the bytes of a meter to its readings: lines through the serial library's parser, frames through core. */
import { mayBeCut } from '../../../src-core/meter/cut-line'
import { frameDecoder } from '../../../src-core/meter/decode-frame'
import { lineDecoder } from '../../../src-core/meter/decode-line'
import type { MeterDescription } from '../../../src-core/meter/description'
import { isFrames } from '../../../src-core/meter/framing'
import { frameSplitter, type FrameListener } from '../../../src-core/meter/split-frames'
import type { Seconds } from '../../../src-core/quantity/units'
import { frameLines } from './frame-lines'

export type ReadingStream = { feed: (chunk: Uint8Array, at: Seconds) => void; close: () => void }

/**
 * @param live the bytes are a meter's as they come, and the first may fall into the midst of a line; frames are told by their marks.
 * @throws RangeError for a meter that is asked in SCPI: its answers mean nothing without the questions.
 */
export const openStream = (description: MeterDescription, listener: FrameListener, live = false): ReadingStream => {
  const { framing } = description
  if (framing.kind === 'lines') {
    const decode = lineDecoder(description)
    return frameLines(framing, {
      line: (line, at, begun) => {
        const decoded = !begun && mayBeCut(decode, line) ? { reject: 'a line whose beginning may be missing' } : decode(line, at)
        if ('reject' in decoded) listener.reject(decoded.reject, at, line)
        else listener.reading(decoded)
      },
      reject: listener.reject,
    }, live)
  }
  if (isFrames(framing)) return { ...frameSplitter(framing, frameDecoder(description), listener), close: () => undefined }
  throw new RangeError(`“${description.name}” answers questions in SCPI; its bytes alone are no readings.`)
}
