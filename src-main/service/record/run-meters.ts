/** What a record tells of a run's meters, from what the shop keeps: the register, and checks against standards. */
import { meter } from '../../../src-core/meter/instrument'
import { checkResult, type CheckResult } from '../../../src-core/metrology/check-standards'
import { checkInWords } from '../../../src-core/metrology/check-words'
import { traceable, underReview } from '../../../src-core/metrology/traceable'
import type { MeterSources } from '../../../src-core/record/meters-of-run'
import { isTouched } from '../../../src-core/run/meter-of'
import type { RunState } from '../../../src-core/run/state'
import type { CheckStore } from '../store/check-store'
import type { ShopStore } from '../store/shop-store'

/** By their ids: the one the run began with, and those it went on with. */
export const meterIds = (state: RunState): string[] => [...new Set([
  ...(state.started.meter === null ? [] : [state.started.meter.id]),
  ...state.events.flatMap((event) => (event.kind === 'meter-back' && event.meter != null ? [event.meter.id] : [])),
])]

/** Whether a check that failed later casts doubt on this run. */
export const isUnderReview = (store: Pick<CheckStore, 'of'>, state: RunState): boolean => {
  const own = [{ run: state.started.run, startedUtc: state.started.utc, lastValueUtc: state.events.findLast(isTouched)?.utc ?? null }]
  return meterIds(state).some((id) => underReview(store.of(id), own).length > 0)
}

/** JSON texts as they lie in the file, so that nobody parses them on the serial loop: the meters, and the checks of those asked for. */
export type MetersKept = { meters: string[]; checks: string[] }

export const metersKept = (shop: Pick<ShopStore, 'meterBodies'>, store: Pick<CheckStore, 'bodies'>) => (ids: readonly string[]): MetersKept =>
  ({ meters: shop.meterBodies(), checks: ids.flatMap(store.bodies) })

/** @throws ZodError for a text that is no meter or no check. */
export const metersOfRun = (state: RunState, kept: MetersKept): MeterSources => {
  const checks: CheckResult[] = kept.checks.map((body) => checkResult.parse(JSON.parse(body)))
  return {
    meters: kept.meters.map((body) => meter.parse(JSON.parse(body))), identity: state.started.identity ?? null,
    checks: checks.map((check) => ({ ...check, words: checkInWords(check) })), traceable: (each, utc) => traceable(each, checks, utc),
    underReview: isUnderReview({ of: (id) => checks.filter((check) => check.meter === id) }, state),
  }
}
