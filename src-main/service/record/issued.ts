/** A sealed record as the store takes it: its bytes, and what lists and chains ask of it. */
import type { RecordEntry } from '../../../src-core/record/commands'
import type { SignedRecord, TestRecordContent } from '../../../src-core/record/schema'
import { fileText } from '../../../src-core/record/seal'
import { functionsClaimed, standingFigures } from '../../../src-core/record/standing-figures'

export type IssuedRecord = {
  entry: Omit<RecordEntry, 'replacedBy'>
  chain: TestRecordContent['chain']
  /** Canonical JSON with a line feed, UTF-8: the record as it leaves the shop. Bytes go from the worker to the store without a copy of each character. */
  bytes: Uint8Array<ArrayBuffer>
}

export const issuedOf = (file: SignedRecord): IssuedRecord => {
  const { record, seal } = file
  return {
    entry: {
      number: record.number, sequence: record.chain.sequence, sha256: seal.sha256, run: record.run.id,
      board: record.board.id, revision: record.board.revision, name: record.board.name, serialNumber: record.item.serialNumber, verdict: record.outcome.verdict,
      issued: record.dates.issued, customer: record.customer, job: record.job, traceable: record.traceable.claimed, traceableIn: functionsClaimed(standingFigures(record.steps)), replaces: record.replaces?.number ?? null,
    },
    chain: record.chain, bytes: new TextEncoder().encode(fileText(file)),
  }
}
