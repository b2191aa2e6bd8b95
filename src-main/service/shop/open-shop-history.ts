/** What the shop has learnt, opened over the service's own stores. */
import { withoutLimits } from '../../../src-core/circuit/computed-limits'
import { meterByEye } from '../../../src-core/meter/by-eye'
import type { Meter } from '../../../src-core/meter/instrument'
import { limitsRequestFor, type LimitsAnswer, type LimitsRequest } from '../../../src-core/run/limits-request'
import type { Asking } from '../asking'
import type { Assets } from '../assets'
import type { LibraryBoard } from '../library-files'
import { createRunReader } from '../run-reader'
import { openLearntStore } from '../store/learnt-store'
import type { Database } from '../store/open-store'
import type { RunStore } from '../store/run-store'
import type { ShopStore } from '../store/shop-store'
import { createShopHistory, type ShopHistory } from './shop-history'

type Around = {
  database: Database; runs: RunStore; shop: ShopStore; boards: () => LibraryBoard[]; assets: Assets; limiting: Pick<Asking<LimitsRequest, LimitsAnswer>, 'known'>
  meter: () => Meter | null; changed: (due: number) => void; report: (error: unknown) => void
}

export const openShopHistory = ({ database, runs, shop, boards, assets, limiting, meter, changed, report }: Around): ShopHistory => createShopHistory({
  learnt: openLearntStore(database), reader: createRunReader(runs, shop, boards), assets, file: shop.board, changed, report,
  tolerances: (board, sha256) => {
    const asked = limitsRequestFor(withoutLimits(board), { sha256: `${sha256} by tolerances`, meter: meter() ?? meterByEye, kit: shop.kit(), utcMs: Date.now() })
    return limiting.known(asked)?.steps ?? null
  },
})
