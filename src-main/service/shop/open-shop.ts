/** What the shop has learnt, and its jobs, opened over the service's own stores. */
import { withoutLimits } from '../../../src-core/circuit/computed-limits'
import { meterByEye } from '../../../src-core/meter/by-eye'
import type { Seconds } from '../../../src-core/quantity/units'
import { limitsRequestFor, type LimitsAnswer, type LimitsRequest } from '../../../src-core/run/limits-request'
import type { Asking } from '../asking'
import type { Assets } from '../assets'
import type { BenchKeeper } from '../bench-keeper'
import type { Handlers } from '../dispatcher'
import type { LibraryBoard } from '../library-files'
import { createRunReader } from '../run-reader'
import type { RunStarts } from '../run-starts-around'
import { openJobStore } from '../store/job-store'
import { openLearntStore } from '../store/learnt-store'
import type { Database } from '../store/open-store'
import type { RunStore } from '../store/run-store'
import type { ShopStore } from '../store/shop-store'
import { createJobs, type Jobs } from './jobs'
import { createShopHistory, type ShopHistory } from './shop-history'

type RecordHandlers = Pick<Handlers, 'list-records' | 'export-records' | 'record-sheet'>
type Around = {
  database: Database; runs: RunStore; shop: ShopStore; boards: () => LibraryBoard[]; assets: Assets; limiting: Pick<Asking<LimitsRequest, LimitsAnswer>, 'known'>
  keeper: Pick<BenchKeeper, 'current' | 'meter'>; clock: () => Seconds; starts: () => Pick<RunStarts, 'start' | 'nextBoard'>; records: () => RecordHandlers
  say: (text: string) => void; changed: (due: number) => void; report: (error: unknown) => void
}

export type Shop = Pick<ShopHistory, 'look' | 'faultsFor' | 'walksOf' | 'goodOf' | 'close'> & Pick<Jobs, 'followed' | 'nextBoard'> & { handlers: ShopHistory['handlers'] & Jobs['handlers'] & Pick<Handlers, 'record-sheet'> }

export const openShop = ({ database, runs, shop, boards, assets, limiting, keeper, clock, starts, records, say, changed, report }: Around): Shop => {
  const history = createShopHistory({
    learnt: openLearntStore(database), runs, reader: createRunReader(runs, shop, boards), assets, file: shop.board, meters: shop.meters, changed, report,
    tolerances: (board, sha256) => {
      const asked = limitsRequestFor(withoutLimits(board), { sha256: `${sha256} by tolerances`, meter: keeper.meter() ?? meterByEye, kit: shop.kit(), utcMs: Date.now() })
      return limiting.known(asked)?.steps ?? null
    },
  })
  const jobs = createJobs({
    store: openJobStore(database), assets, boards, starts, bench: keeper.current, clock, say, report,
    records: async ({ customer, name }, as) => {
      const ofJob = { customer: customer === '' ? null : customer, job: name }
      const { records: issued } = await records()['list-records']({ ofJob })
      return issued.length === 0 ? null : records()['export-records']({ ofJob, as })
    },
  })
  return {
    look: history.look, faultsFor: history.faultsFor, walksOf: history.walksOf, goodOf: history.goodOf, followed: jobs.followed, nextBoard: jobs.nextBoard,
    close: () => {
      history.close()
      jobs.close()
    },
    handlers: {
      ...history.handlers, ...jobs.handlers,
      /** What the job says of its boards is offered on the sheet of the first record of each. */
      'record-sheet': async (asked) => {
        const offered = await records()['record-sheet'](asked)
        const job = jobs.jobOf(asked.run)
        if (job === null || offered.records.length > 0) return offered
        const { customer, name, received, conditionAsReceived } = job
        return { ...offered, sheet: { ...offered.sheet, customer, job: name, received, conditionAsReceived: conditionAsReceived === '' ? offered.sheet.conditionAsReceived : conditionAsReceived } }
      },
    },
  }
}
