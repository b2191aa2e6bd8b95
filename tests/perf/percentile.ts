/** The value below which a share of the sorted samples lies (nearest rank). @throws RangeError with no samples. */
export const percentile = (samples: readonly number[], share: number): number => {
  const sorted = [...samples].sort((a, b) => a - b)
  const value = sorted[Math.min(sorted.length - 1, Math.max(0, Math.ceil(share * sorted.length) - 1))]
  if (value === undefined) throw new RangeError('There are no samples.')
  return value
}
