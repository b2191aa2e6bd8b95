/** Rule 13, in part: a reading that only a voltage on the board can give. */
import type { Reading } from '../meter/reading'
import { CHARGED_COUNTS } from './figures'

/**
 * The value, SI, of a resistance, continuity or diode reading below −3 counts; null for any other.
 * Out of range below zero gives minus the full scale, or −1 where that is not told.
 */
export const isCharged = (reading: Reading): number | null => {
  switch (reading.function) {
    case 'resistance': case 'continuity': case 'diode': break
    default: return null
  }
  if (reading.value === 'overload') return null
  if (reading.value === 'negative-overload') return -(reading.range ?? 1)
  return reading.value < -CHARGED_COUNTS * (reading.resolution ?? 0) * (1 + 1e-9) ? reading.value : null
}
