/** Leads or a known source that no longer read as before cast doubt on earlier runs: each gets its note, as an event of its own. */
import type { Meter } from '../../src-core/meter/instrument'
import { isBenchRun } from '../../src-core/run/bench-runs'
import { doubtNote, doubtsFrom } from '../../src-core/run/closing'
import type { RunEventBody } from '../../src-core/run/event'
import type { MeterPatch } from '../../src-core/run/taught'
import type { RunStore } from './store/run-store'

/**
 * The notes due, run by run.
 * @param before the meter as it was when the runs were made. @param events what has just happened.
 */
export const doubtNotes = (runs: RunStore, before: Meter, learned: MeterPatch | null, events: readonly RunEventBody[]): { run: string; text: string }[] => {
  const sourceMissed = events.some((event) => event.kind === 'decided' && /\/known-source(-after)?$/.test(event.step) && event.verdict === 'fail')
  return doubtsFrom(before, learned, sourceMissed).flatMap((doubt) => {
    const since = runs.find(doubt.lastGood)?.startedUtc
    if (since === undefined) return []
    return runs.startedSince(before.id, since).filter((row) => !isBenchRun(row.board)).flatMap((row) => {
      const text = doubtNote(doubt, runs.captured(row.run))
      return text === null ? [] : [{ run: row.run, text }]
    })
  })
}
