/** Makes the record of a run from its events as they lie in the file, and seals it: the worker's part of issuing. */
import { boardType } from '../../../src-core/board/board-type'
import { shapeProblems } from '../../../src-core/board/shape-problems'
import { recordOfRun, type PlaceInChain } from '../../../src-core/record/from-run'
import type { OffsetAt } from '../../../src-core/record/offset-time'
import { testRecordContent, type TestRecordContent } from '../../../src-core/record/schema'
import { sealRecord } from '../../../src-core/record/seal'
import type { RecordSheet } from '../../../src-core/record/sheet'
import { parseRunEvent, type RunEvent } from '../../../src-core/run/event'
import { noRecordOf } from '../../../src-core/run/no-record'
import { rebuild, type RunState } from '../../../src-core/run/state'
import { issuedOf, type IssuedRecord } from './issued'
import { meterIds, metersOfRun, type MetersKept } from './run-meters'
import type { SealAnswer, SealQuestion } from './sealing'
import { keptSigner } from './shop-key'
import { sha256 } from './signatures'

/** What is asked of the shop, and told of the run. */
export type RunRead = {
  events: number
  /** SHA-256 of its board file. */
  board: string
  /** Ids of its meters. */
  meters: string[]
  /** Why it has no record; null: it can have one, where its board file is there. */
  refused: string | null
}

/** What the shop adds. */
export type ToSeal = {
  /** JSON text of the board file the run was made with. */
  board: string
  pictureSha256s: readonly (string | null)[]
  meters: MetersKept
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

const readOf = (state: RunState): RunRead =>
  ({ events: state.events.length, board: state.started.board.sha256, meters: meterIds(state), refused: noRecordOf(state) })

/** @throws Error in words where the key cannot be used, or of this run no record can be made. */
const issuedFrom = (state: RunState, { board, meters, dataFolder, ...from }: ToSeal): IssuedRecord => {
  const signer = keptSigner(dataFolder)
  const content = recordable(recordOfRun({ ...from, ...metersOfRun(state, meters), board: boardType.parse(JSON.parse(board)), state, offsetAt, sha256 }))
  return issuedOf(sealRecord(content, signer, sha256))
}

/** Another worker than the one that took the first piece of the run. */
const diedWords = 'the worker that seals records ended before it was done.'

/** Takes a run's events piece by piece, tells what it read, makes its record; one run at a time. It never throws: what went wrong is its answer. */
export const createSealer = (): ((question: SealQuestion) => SealAnswer) => {
  let events: RunEvent[] | null = null
  let state: RunState | null = null

  const answer = (question: SealQuestion): SealAnswer => {
    if ('take' in question && question.first) events = []
    if (events === null) throw new Error(diedWords)
    if ('take' in question) {
      state = null
      events.push(...question.take.map((body) => parseRunEvent(JSON.parse(body))))
      return { taken: true }
    }
    state ??= rebuild(events)
    if ('read' in question) return { read: readOf(state) }
    const issued = issuedFrom(state, question.seal)
    events = null
    state = null
    return { issued }
  }

  return (question) => {
    try {
      return answer(question)
    } catch (error) {
      return { failed: error instanceof Error ? error.message : String(error) }
    }
  }
}
