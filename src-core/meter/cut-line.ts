/** A line whose beginning may not have been heard: whether it could be the rest of a longer one, and so of another value. */
import { seconds } from '../quantity/units'
import type { LineDecoder } from './decode-line'

const printable = Array.from({ length: 95 }, (_, index) => String.fromCharCode(32 + index))

/** Whether one character more before it would make a reading of it too: then nothing shows that it is whole. */
export const mayBeCut = (decode: LineDecoder, line: string): boolean => printable.some((character) => !('reject' in decode(character + line, seconds(0))))
