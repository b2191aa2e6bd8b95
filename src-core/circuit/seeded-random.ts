/** Repeatable random numbers for the practice bench: the same seed draws the same board, fault and noise. */

export type Random = () => number

/** Numbers in [0, 1) from an integer seed. Mulberry32, a public-domain 32-bit generator (from memory); not for secrets. */
export const seededRandom = (seed: number): Random => {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = state
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296
  }
}

/** Normal noise of standard deviation 1 (Box and Muller, 1958). */
export const normalNoise = (random: Random): number =>
  Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
