/** What the run on the bench has computed of its board by the worker: limits, what a good board reads elsewhere, and what other places and faults read. */
import type { Bench } from '../../src-core/run/bench'
import { elsewhereRequestOf, type ElsewhereAnswer } from '../../src-core/run/elsewhere-request'
import { limitsRequestOf, type LimitsAnswer, type LimitsRequest } from '../../src-core/run/limits-request'
import { placementsRequestOf, type PlacementsAnswer } from '../../src-core/run/placements-request'
import { createAsking, type Asking } from './asking'
import type { Thread } from './threads'

type Told = { kind: 'limits-computed'; answer: LimitsAnswer } | { kind: 'elsewhere-computed'; answer: ElsewhereAnswer } | { kind: 'placements-known'; answer: PlacementsAnswer }

export type Expecting = {
  /** Asked by the Boards screen too. */
  limiting: Asking<LimitsRequest, LimitsAnswer>
  look: (bench: Bench | null) => void
  close: () => void
}

/** @param around `settled`: all limits that were asked for are known. */
export const createExpecting = (thread: Thread, { tell, settled }: { tell: (told: Told) => void; settled: () => void }, report: (error: unknown) => void): Expecting => {
  const limiting = createAsking(thread, {
    work: 'compute-limits', by: limitsRequestOf, keeps: 1000, tell: (answer: LimitsAnswer) => { tell({ kind: 'limits-computed', answer }) }, settled,
  }, report)
  const elsewhere = createAsking(thread, {
    work: 'compute-elsewhere', by: elsewhereRequestOf, keeps: 30, tell: (answer: ElsewhereAnswer) => { tell({ kind: 'elsewhere-computed', answer }) },
  }, report)
  const placing = createAsking(thread, {
    work: 'read-placements', by: placementsRequestOf, keeps: 3, tell: (answer: PlacementsAnswer) => { tell({ kind: 'placements-known', answer }) },
  }, report)
  const all = [limiting, elsewhere, placing]
  return { limiting, look: (bench) => { for (const one of all) one.look(bench) }, close: () => { for (const one of all) one.close() } }
}
