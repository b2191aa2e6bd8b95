/** Leads or a known source that no longer read as before cast doubt on earlier runs: each gets its note, as an event of its own. */
import type { Meter } from '../../src-core/meter/instrument'
import { closingBoardId, doubtNote, doubtsFrom } from '../../src-core/run/closing'
import type { MeterPatch } from '../../src-core/run/conduct'
import type { RunEvent } from '../../src-core/run/event'
import type { RunStore } from './store/run-store'

/**
 * The notes due, run by run, with the events each run has so far.
 * @param before the meter as it was when the runs were made. @param events what has just happened.
 */
export const doubtNotes = (runs: RunStore, before: Meter, learned: MeterPatch | null, events: readonly RunEvent[]): { run: string; events: number; text: string }[] => {
  const sourceMissed = events.some((event) => event.kind === 'decided' && event.step.endsWith('/known-source') && event.verdict === 'fail')
  const doubts = doubtsFrom(before, learned, sourceMissed)
  const since = [before.leadCheck?.utc, before.sourceCheck?.utc].filter((utc) => utc !== undefined).sort()[0]
  if (doubts.length === 0 || since === undefined) return []
  return runs.startedSince(before.id, since).filter((row) => row.board !== closingBoardId).flatMap((row) => {
    const past = runs.events(row.run)
    const texts = doubts.map((doubt) => doubtNote(doubt, past)).filter((text) => text !== null)
    return texts.length === 0 ? [] : [{ run: row.run, events: past.length, text: texts.join(' ') }]
  })
}
