/** The bytes a meter repeats while its display stands still: how long one round is, and where it begins. */

/** One piece of bytes as it arrived, seconds. */
export type Heard = { at: number; bytes: Uint8Array }

/** One round of what is repeated. `begins`: a pause stands before its first byte, so that a frame begins there. */
export type Round = { bytes: Uint8Array; begins: boolean }

const longestRound = 128
/** Two rounds more than the first must be the same: three alike in all. */
const alike = 2
/** Shorter than this, a pause is the system's own habit of passing bytes on (common practice, no source). */
const leastPause = 0.015

const joined = (heard: readonly Heard[]): Uint8Array => {
  const whole = new Uint8Array(heard.reduce((sum, { bytes }) => sum + bytes.length, 0))
  let at = 0
  for (const { bytes } of heard) {
    whole.set(bytes, at)
    at += bytes.length
  }
  return whole
}

/** How many of the last bytes equal those `period` before them. */
const repeats = (bytes: Uint8Array, period: number): number => {
  let count = 0
  while (count + period < bytes.length && bytes[bytes.length - 1 - count] === bytes[bytes.length - 1 - count - period]) count += 1
  return count
}

/** The least period that holds nearly as far back as the best one: within a frame, zeros repeat too, but not for long. */
const periodOf = (bytes: Uint8Array): { period: number; still: number } | null => {
  const found = Array.from({ length: longestRound - 1 }, (_, index) => index + 2)
    .map((period) => ({ period, still: repeats(bytes, period) + period }))
    .filter(({ period, still }) => still >= (alike + 1) * period)
  const best = Math.max(...found.map(({ still }) => still))
  return found.find(({ still }) => still >= best * 0.7) ?? null
}

/** Where in the round the pauses stand; null when they agree on no place. */
const phaseOf = (heard: readonly Heard[], from: number, period: number): number | null => {
  const votes = new Map<number, number>()
  let [at, all] = [0, 0]
  let before: number | null = null
  const gaps = heard.slice(1).map((each, index) => each.at - (heard[index]?.at ?? 0))
  const longest = gaps.length === 0 ? 0 : [...gaps].sort((a, b) => b - a)[Math.floor(gaps.length / 20)] ?? 0
  for (const each of heard) {
    if (before !== null && at >= from && each.at - before >= Math.max(leastPause, longest / 2)) {
      const phase = (at - from) % period
      votes.set(phase, (votes.get(phase) ?? 0) + 1)
      all += 1
    }
    before = each.at
    at += each.bytes.length
  }
  const [first] = [...votes].sort((a, b) => b[1] - a[1])
  return first !== undefined && first[1] >= 2 && first[1] > all * 0.7 ? first[0] : null
}

/** The last round heard; null as long as no three in a row are alike. */
export const lastRound = (heard: readonly Heard[]): Round | null => {
  const bytes = joined(heard)
  const found = periodOf(bytes)
  if (found === null) return null
  const { period, still } = found
  const from = bytes.length - still
  const phase = phaseOf(heard, from, period)
  const rounds = Math.floor((still - (phase ?? 0)) / period)
  const start = from + (phase ?? 0) + (rounds - 1) * period
  return { bytes: bytes.slice(start, start + period), begins: phase !== null }
}

export const turned = (bytes: Uint8Array, by: number): Uint8Array => {
  const n = bytes.length
  const first = ((by % n) + n) % n
  return Uint8Array.from(bytes, (_, index) => bytes[(index + first) % n] ?? 0)
}
