/** Makes the record of a run from its events as they lie in the file, and seals it: the worker's part of issuing. */
import type { BoardType } from '../../../src-core/board/board-type'
import { shapeProblems } from '../../../src-core/board/shape-problems'
import { traceable } from '../../../src-core/metrology/traceable'
import type { CheckResult } from '../../../src-core/metrology/check-standards'
import { recordOfRun, type PlaceInChain } from '../../../src-core/record/from-run'
import type { MeterSources } from '../../../src-core/record/meters-of-run'
import type { OffsetAt } from '../../../src-core/record/offset-time'
import { testRecordContent, type TestRecordContent } from '../../../src-core/record/schema'
import { sealRecord } from '../../../src-core/record/seal'
import type { RecordSheet } from '../../../src-core/record/sheet'
import { parseRunEvent } from '../../../src-core/run/event'
import { rebuild } from '../../../src-core/run/state'
import { issuedOf, type IssuedRecord } from './issued'
import { readShopKey } from './shop-key'
import { sha256, signerOf } from './signatures'

/** What the shop knows of the run's meters; the judgement on traceability is made from its checks. */
export type MeterFacts = Omit<MeterSources, 'traceable' | 'checks'> & { checks: (CheckResult & { words: string })[] }

export type SealWish = {
  /** JSON text of each event of the run. */
  bodies: readonly string[]
  board: BoardType; pictureSha256: string | null
  meters: MeterFacts
  sheet: RecordSheet; place: PlaceInChain; issuedUtc: string; version: string
  /** Where the key lies: it is read by the worker, and goes nowhere from there. */
  dataFolder: string
}

/** Of this computer's zone. */
export const offsetAt: OffsetAt = (utc) => -new Date(utc).getTimezoneOffset()

/** @throws Error that names, in words, what of the content a record cannot hold. */
const recordable = (made: TestRecordContent): TestRecordContent => {
  const parsed = testRecordContent.safeParse(made)
  if (parsed.success) return parsed.data
  throw new Error(`of what this run and the sheet say, a record cannot hold this: ${shapeProblems(parsed.error, made).slice(0, 5).map(({ field, message }) => `${field} ${message}`).join('; ')}. The run is kept as it is.`)
}

/** @throws Error in words where the key cannot be used, or of this run no record can be made. */
export const sealRun = ({ bodies, meters, dataFolder, ...from }: SealWish): IssuedRecord => {
  const key = readShopKey(dataFolder)
  if (key === null) throw new Error('The shop’s signing key is gone. Nothing was signed. Restore it from its backup: npm run -s cli -- restore-key FILE')
  const state = rebuild(bodies.map((body) => parseRunEvent(JSON.parse(body))))
  const content = recordable(recordOfRun({
    ...from, ...meters, state, offsetAt, sha256, traceable: (meter, utc) => traceable(meter, meters.checks, utc),
  }))
  return issuedOf(sealRecord(content, signerOf(key), sha256))
}
