/** Puts together what issuing records needs of a data folder. */
import { dirname, join } from 'node:path'
import type { Assets } from '../assets'
import type { Progress } from '../exporting'
import type { LibraryBoard } from '../library-files'
import { createRunReader } from '../run-reader'
import type { CheckStore } from '../store/check-store'
import type { Database } from '../store/open-store'
import { openRecordStore } from '../store/record-store'
import type { RunStore } from '../store/run-store'
import type { ShopStore } from '../store/shop-store'
import { createIssuing, type Issuing } from './issuing'
import { runMeters } from './run-meters'

type Surroundings = {
  dataFolder: string; version: string; workerFile: string; database: Database; runs: RunStore; shop: ShopStore; checks: CheckStore; assets: Assets
  boards: () => readonly LibraryBoard[]; progress: (progress: Progress | null) => void
}

export const openIssuing = ({ dataFolder, version, workerFile, database, runs, shop, checks, assets, boards, progress }: Surroundings): Issuing => createIssuing({
  dataFolder, version, pagesFile: join(dirname(workerFile), 'pages-worker.js'), shop, assets, progress,
  records: openRecordStore(database), reader: createRunReader(runs, shop, boards), metersOf: runMeters(shop, checks), now: () => new Date(),
})
