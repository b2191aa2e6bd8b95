/** Puts together what issuing records needs of a data folder. */
import type { Assets } from '../assets'
import type { Progress } from '../exporting'
import type { LibraryBoard } from '../library-files'
import { createRunReader } from '../run-reader'
import type { CheckStore } from '../store/check-store'
import type { Database } from '../store/open-store'
import { openRecordStore } from '../store/record-store'
import type { RunStore } from '../store/run-store'
import type { ShopStore } from '../store/shop-store'
import type { Handlers } from '../dispatcher'
import type { Thread } from '../threads'
import type { keyCommands } from '../../../src-core/record/key-commands'
import { createIssuing, type Issuing } from './issuing'
import { createKeyKeeping } from './key-keeping'
import type { Printing } from './printing'
import { metersKept } from './run-meters'
import { createSealing } from './sealing'

type Surroundings = {
  dataFolder: string; version: string; thread: Thread; printing: Printing; database: Database; runs: RunStore; shop: ShopStore; checks: CheckStore; assets: Assets
  boards: () => readonly LibraryBoard[]; progress: (progress: Progress | null) => void
}

/** With the keeping of the key that signs. */
export type IssuingAndKeys = Issuing & { handlers: Pick<Handlers, keyof typeof keyCommands> }

export const openIssuing = ({ dataFolder, version, thread, printing, database, runs, shop, checks, assets, boards, progress }: Surroundings): IssuingAndKeys => {
  const now = (): Date => new Date()
  const issuing = createIssuing({
    dataFolder, version, sealing: createSealing(thread), lastSeq: runs.lastSeq, printing, shop, assets, progress,
    records: openRecordStore(database), reader: createRunReader(runs, shop, boards), metersKept: metersKept(shop, checks), now,
  })
  return { ...issuing, handlers: { ...issuing.handlers, ...createKeyKeeping({ dataFolder, assets, now }) } }
}
