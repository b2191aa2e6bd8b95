/** Where a function that only rises reaches a value: by halving, down to the last digit a double holds. */

const mostHalvings = 200

/** @throws RangeError when `from`…`to` does not hold it. */
export const whereItReaches = (rising: (x: number) => number, target: number, from: number, to: number): number => {
  if (!(rising(from) <= target && rising(to) >= target)) throw new RangeError(`${target} is not reached between ${from} and ${to}.`)
  let [low, high] = [from, to]
  for (let i = 0; i < mostHalvings; i += 1) {
    const middle = low + (high - low) / 2
    if (middle <= low || middle >= high) break
    if (rising(middle) < target) low = middle
    else high = middle
  }
  return low + (high - low) / 2
}
