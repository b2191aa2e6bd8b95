/** Rule 8: the band B. */
import { BAND_COUNTS, BAND_SHARE } from './figures'

/** B, SI: the spread within which conversions count as one value, and by which two touches are told apart. */
export const band = (value: number, count: number | null): number =>
  Math.max(BAND_COUNTS * (count ?? 0), BAND_SHARE * Math.abs(value))
