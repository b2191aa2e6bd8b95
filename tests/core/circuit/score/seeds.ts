/** Which seeds are for tuning and which for scoring: no figure is reported from a seed that anything was tuned on. */

/** Tuning: 1,000,000 and up. Scoring: the bench's seed × 10,000 and up, so 202,600,000 for the usual 20,260. */
const tuningFrom = 1_000_000
const perSeed = 10_000

const many = (from: number, count: number): number[] => Array.from({ length: count }, (_, at) => from + at)

/** @throws RangeError for more boards than a seed has, or a seed whose boards are those for tuning. */
export const scoringSeeds = (seed: number, count: number): number[] => {
  if (count > perSeed) throw new RangeError(`A seed has ${perSeed} boards, not ${count}. Ask for fewer.`)
  if (!Number.isInteger(seed) || seed * perSeed < tuningFrom + perSeed) throw new RangeError(`Seeds up to ${tuningFrom / perSeed} are for tuning. Give a whole number above it.`)
  return many(seed * perSeed, count)
}
export const tuningSeeds = (count: number): number[] => many(tuningFrom, Math.min(count, perSeed))

export const inWords = (seeds: readonly number[]): string => `${seeds[0] ?? 'none'} to ${seeds.at(-1) ?? 'none'}`
