/** Preferred values of resistors and capacitors: the series E3 to E192 of IEC 60063. */

export type Series = 'E3' | 'E6' | 'E12' | 'E24' | 'E48' | 'E96' | 'E192'

/** E24 was rounded by hand long ago and does not follow the formula in eight places; E12, E6 and E3 are every second of the one above. */
const e24 = [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91]

const everyNth = (values: readonly number[], n: number): number[] => values.filter((_, at) => at % n === 0)

/** 100·10^(i/n), rounded: but for one value, which IEC 60063 writes 920 and the formula 919 (from memory). */
const byFormula = (n: number): number[] => Array.from({ length: n }, (_, i) => {
  const value = Math.round(100 * 10 ** (i / n))
  return value === 919 ? 920 : value
})

const e192 = byFormula(192)

/** One decade, whole numbers: two digits for E3 to E24, three from E48 up. */
export const decade: Record<Series, readonly number[]> = {
  E3: everyNth(e24, 8), E6: everyNth(e24, 4), E12: everyNth(e24, 2), E24: e24, E48: everyNth(e192, 4), E96: everyNth(e192, 2), E192: e192,
}

const exponentOf = (value: number): number => Number(value.toExponential(15).split('e')[1])

/** The preferred values about one value, three decades of them: the nearest may lie across the edge of a decade. */
const around = (value: number, series: Series): number[] => {
  const digits = decade[series][0] === 10 ? 1 : 2
  const exponent = exponentOf(value) - digits
  return [-1, 0, 1].flatMap((shift) => decade[series].map((figure) => Number(`${figure}e${exponent + shift}`)))
}

/**
 * The preferred value nearest to this one by ratio, as tolerances go.
 * @throws RangeError when the value is not above zero.
 */
export const nearestPreferred = (value: number, series: Series): number => {
  if (!(value > 0 && Number.isFinite(value))) throw new RangeError(`${value} has no preferred value: it must be above zero.`)
  const distance = (candidate: number): number => Math.abs(Math.log(candidate / value))
  return around(value, series).reduce((best, candidate) => (distance(candidate) < distance(best) ? candidate : best))
}

/** Whether the value is one of the series, but for the dust of binary fractions. */
export const isPreferred = (value: number, series: Series): boolean =>
  value > 0 && Number.isFinite(value) && Math.abs(nearestPreferred(value, series) / value - 1) < 1e-9
