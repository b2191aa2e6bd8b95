/** Whether stated probabilities come true: ten bins, each with enough statements, and how far stated and true lie apart. */

export type Statement = { stated: number; true: boolean }
export type Bin = {
  from: number; to: number; count: number
  /** Means over the bin. */
  stated: number; observed: number
  /** 95 % interval of the observed share (Wilson, 1927; from memory). */
  interval: [number, number]
  /** Observed less stated, in standard errors of a binomial count whose chances are those stated. */
  gap: number
}

const bins = 10
export const leastPerBin = 150
const z95 = 1.959964

const wilson = (hits: number, count: number): [number, number] => {
  const share = hits / count
  const middle = (share + z95 ** 2 / (2 * count)) / (1 + z95 ** 2 / count)
  const half = (z95 / (1 + z95 ** 2 / count)) * Math.sqrt((share * (1 - share)) / count + z95 ** 2 / (4 * count ** 2))
  return [Math.max(0, middle - half), Math.min(1, middle + half)]
}

const binOf = (sorted: readonly Statement[]): Bin => {
  const count = sorted.length
  const hits = sorted.filter((one) => one.true).length
  const sum = sorted.reduce((total, { stated }) => total + stated, 0)
  const variance = sorted.reduce((total, { stated }) => total + stated * (1 - stated), 0)
  const off = hits - sum
  return {
    from: sorted[0]?.stated ?? 0, to: sorted.at(-1)?.stated ?? 0, count, stated: sum / count, observed: hits / count,
    interval: wilson(hits, count), gap: off === 0 ? 0 : off / Math.sqrt(Math.max(variance, 1e-12)),
  }
}

/**
 * Ten bins a tenth wide; where one has fewer than `least` statements its edge moves until it has them. Fewer than ten times `least`
 * statements in all make as many bins as there are enough for, one at least; none for no statement.
 */
export const reliabilityTable = (statements: readonly Statement[], least = leastPerBin): Bin[] => {
  const sorted = [...statements].sort((a, b) => a.stated - b.stated)
  const made = Math.min(bins, Math.floor(sorted.length / least))
  if (made < bins) return sorted.length === 0 ? [] : evenBins(sorted, Math.max(1, made))
  const edges = [0]
  for (let bin = 1; bin < bins; bin += 1) {
    const natural = sorted.findIndex(({ stated }) => stated >= bin / bins)
    const wanted = natural < 0 ? sorted.length : natural
    edges.push(Math.min(Math.max(wanted, (edges.at(-1) ?? 0) + least), sorted.length - least * (bins - bin)))
  }
  return edges.map((from, at) => binOf(sorted.slice(from, edges[at + 1] ?? sorted.length)))
}

const evenBins = (sorted: readonly Statement[], made: number): Bin[] =>
  Array.from({ length: made }, (_, at) => binOf(sorted.slice(Math.floor((at * sorted.length) / made), Math.floor(((at + 1) * sorted.length) / made))))

/** The largest gap, in standard errors; 0 without statements. */
export const worstBin = (table: readonly Bin[]): number => table.reduce((worst, { gap }) => Math.max(worst, Math.abs(gap)), 0)
