/** What a record tells of a run's meters, from what the shop keeps: the register, and checks against standards. */
import { checkInWords } from '../../../src-core/metrology/check-words'
import { underReview } from '../../../src-core/metrology/traceable'
import type { RunState } from '../../../src-core/run/state'
import type { CheckStore } from '../store/check-store'
import type { ShopStore } from '../store/shop-store'
import type { MeterFacts } from './seal-run'

const meterIds = (state: RunState): string[] => [...new Set([
  ...(state.started.meter === null ? [] : [state.started.meter.id]),
  ...state.events.flatMap((event) => (event.kind === 'meter-back' && event.meter != null ? [event.meter.id] : [])),
])]

/** Whether a check that failed later casts doubt on this run. */
export const isUnderReview = (store: Pick<CheckStore, 'of'>, state: RunState): boolean => {
  const own = [{ run: state.started.run, startedUtc: state.started.utc, lastValueUtc: state.events.findLast(({ kind }) => kind === 'captured')?.utc ?? null }]
  return meterIds(state).some((id) => underReview(store.of(id), own).length > 0)
}

export const runMeters = (shop: Pick<ShopStore, 'meters'>, store: CheckStore) => (state: RunState): MeterFacts => ({
  meters: shop.meters(), identity: state.started.identity ?? null,
  checks: meterIds(state).flatMap((id) => store.of(id)).map((check) => ({ ...check, words: checkInWords(check) })),
  underReview: isUnderReview(store, state),
})
