/** Whether what one meter read on a board says what another will read there: it is the same one, or both are known to drive the board alike. */
import type { Meter } from './instrument'
import type { MeterFunction } from './reading'

type Known = Pick<Meter, 'id' | 'register'>

/** Where the figures come from, entered or fitted, makes no difference. */
const sourcesIn = ({ register: { sources } }: Known, what: MeterFunction): string[] =>
  sources.filter((one) => one.function === what).map(({ range, volts, ohms, amperes, plus }) => JSON.stringify([range, volts, ohms, amperes, plus])).sort()

/** In this function. A meter with no stated source there reads like itself alone: junctions beside the leads make two meters differ. */
export const readsAlike = (one: Known, other: Known, what: MeterFunction): boolean => {
  if (one.id === other.id) return true
  const [own, others] = [sourcesIn(one, what), sourcesIn(other, what)]
  return own.length > 0 && own.join() === others.join()
}
