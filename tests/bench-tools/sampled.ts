/** A seeded sample of the cases of a long check for `npm test`; `npm run test:long` takes them all. */
import { seededRandom } from '../../src-core/circuit/seeded-random'

export const isLong = process.env.LONG === 'yes'
const seed = Number(process.env.SEED ?? 20_260)

/** How many drawn cases: a few for `npm test`, the full count for `npm run test:long`. */
export const drawnCount = (daily: number, full: number): number => isLong ? full : daily

/** So many of the cases, in their order. */
export const sampled = <T>(cases: readonly T[], count: number): T[] => {
  if (isLong) return [...cases]
  const random = seededRandom(seed)
  const left = cases.map((_, index) => index)
  const taken = Array.from({ length: Math.min(count, left.length) }, () => left.splice(Math.floor(random() * left.length), 1)[0] ?? 0)
  return taken.sort((a, b) => a - b).flatMap((index) => { const found = cases[index]; return found === undefined ? [] : [found] })
}
