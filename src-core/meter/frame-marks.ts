/** How many bits tell a frame from noise: chance makes one frame of 2^bits out of it. */
import { checkBits } from './check-value'
import type { FrameFraming } from './framing'

const hexBits = (hex: string | undefined): number => (hex ?? '').length * 4

/** `inside`: those that follow the start, which a frame cut off and run into the next would not have. */
export const knownBits = (framing: FrameFraming): { all: number; inside: number } => {
  const end = 'end' in framing ? hexBits(framing.end) : 0
  const index = framing.kind === 'indexed-frames' ? framing.length * 4 : 0
  const inside = end + index + Object.keys(framing.fixed ?? {}).length + (framing.check === undefined ? 0 : checkBits(framing.check))
  return { all: inside + ('start' in framing ? hexBits(framing.start) : 0), inside }
}

/** Fewer than these in all, and any bytes would be frames. */
export const leastMarked = 8
/** Fewer than these inside, and nothing shows that a frame is whole but the next, which begins where it ends. */
export const surelyWhole = 8
/** Fewer than these in all, and a frame that follows noise counts only once the next begins where it ends. */
export const surelyNoNoise = 48
