/** The smallest choice that meets every demand: an exact minimum hitting set by iterative deepening, in bounded work. */

/** `exact` is false where the search was given up; `chosen` then meets every demand, and may not be the smallest. */
export type LeastCover = { chosen: number[]; exact: boolean }

/** Places in the search before it is given up; the shipped boards need fewer than 100. */
export const usualMostPlaces = 100_000

type Demand = ReadonlySet<number>

const subset = (a: Demand, b: Demand): boolean => a.size <= b.size && [...a].every((one) => b.has(one))

/** Without those that another, narrower demand meets along with itself. */
const narrowest = (demands: readonly Demand[]): Demand[] => {
  const sorted = [...demands].sort((a, b) => a.size - b.size)
  return sorted.reduce<Demand[]>((kept, demand) => (kept.some((one) => subset(one, demand)) ? kept : [...kept, demand]), [])
}

/** Always that which meets most of what is left, the first where several do. */
const greedy = (demands: readonly Demand[]): number[] => {
  const chosen: number[] = []
  for (let left = demands; left.length > 0; left = left.filter((demand) => !demand.has(chosen.at(-1) ?? -1))) {
    const options = [...new Set(left.flatMap((demand) => [...demand]))].sort((a, b) => a - b)
    const met = (option: number): number => left.filter((demand) => demand.has(option)).length
    chosen.push(options.reduce((best, one) => (met(one) > met(best) ? one : best)))
  }
  return chosen
}

/**
 * `demands`: each a set of which at least one must be chosen, none of them empty. Of several smallest choices the one found first,
 * with the lower numbers tried first; ascending. @throws RangeError for an empty demand, which nothing could meet.
 */
export const leastCover = (demands: readonly Demand[], mostPlaces = usualMostPlaces): LeastCover => {
  if (demands.some(({ size }) => size === 0)) throw new RangeError('A demand with no option cannot be met.')
  const all = narrowest(demands)
  const bound = greedy(all)
  let places = 0
  const search = (left: readonly Demand[], may: number): number[] | null => {
    places += 1
    const [tightest] = [...left].sort((a, b) => a.size - b.size)
    if (tightest === undefined) return []
    if (may === 0 || places > mostPlaces) return null
    for (const option of [...tightest].sort((a, b) => a - b)) {
      const rest = search(left.filter((demand) => !demand.has(option)), may - 1)
      if (rest !== null) return [option, ...rest]
    }
    return null
  }
  for (let size = 0; size < bound.length; size += 1) {
    const chosen = search(all, size)
    if (places > mostPlaces) return { chosen: [...bound].sort((a, b) => a - b), exact: false }
    if (chosen !== null) return { chosen: chosen.sort((a, b) => a - b), exact: true }
  }
  return { chosen: [...bound].sort((a, b) => a - b), exact: true }
}
