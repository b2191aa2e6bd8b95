/** What bytes heard at a wrong speed say about the right one: a slower sender's bits are heard several times over. */

/** Bits of a character as a port hears it: the start bit, eight bits of data, the stop bit. */
const heardBits = 10

/**
 * For each byte, whether a sender at `sent` baud can have made it, heard at `heard` baud with eight bits and no parity: samples
 * within one bit of the sender's are equal, and the first is the start bit. The reception begins at an edge of the sender's.
 */
export const canBeSlower = (sent: number, heard: number): boolean[] =>
  Array.from({ length: 256 }, (_, byte) => {
    const levels = byte << 1
    let before = -1
    let level = 0
    // The stop bit is left out: where it is missing the byte may be handed over all the same.
    for (let at = 0; at < heardBits - 1; at += 1) {
      const sample = (levels >> at) & 1
      const bit = Math.floor(((at + 0.5) * sent) / heard)
      if (bit === before && sample !== level) return false
      before = bit
      level = sample
    }
    return true
  })

const enoughBytes = 12
const nearlyAll = 0.9
/** A burst with fewer bytes than the shortest frame was sent faster: a slow listener skips what it has no time for. */
const shortBurst = 6

export type SpeedHint =
  /** Too few bytes, or the speed may be right. */
  | { kind: 'none' }
  /** Heard faster than sent: the likely speeds, the likeliest first. */
  | { kind: 'slower'; speeds: number[] }
  /** No slower sender makes such bytes. */
  | { kind: 'not-slower' }
  /** Hardly anything is left of each burst. */
  | { kind: 'faster' }

export type SpeedHints = (counts: Uint32Array, total: number, wholeBursts: number) => SpeedHint

/** @param speeds those to choose among. The hint is made from how often each byte was heard. */
export const speedHints = (heard: number, speeds: readonly number[]): SpeedHints => {
  const slower = speeds.filter((speed) => speed <= heard / 1.9).map((speed) => ({ speed, can: canBeSlower(speed, heard) }))
  return (counts, total, wholeBursts) => {
    if (wholeBursts >= 2 && total < shortBurst * wholeBursts) return { kind: 'faster' }
    if (total < enoughBytes) return { kind: 'none' }
    const fitting = slower.filter(({ can }) => {
      let fits = 0
      for (let byte = 0; byte < 256; byte += 1) if (can[byte] === true) fits += counts[byte] ?? 0
      return fits >= nearlyAll * total
    }).map(({ speed }) => speed)
    if (fitting.length === 0) return { kind: 'not-slower' }
    // Bytes of a slow sender fit a faster one too; only zeros fit them all, and say no more than that the sender is far slower.
    return { kind: 'slower', speeds: counts[0] === total ? fitting : fitting.sort((a, b) => a - b) }
  }
}
