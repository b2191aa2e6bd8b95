/** Which runs have no record: those of practice, those of the meter itself, and those that go on. */
import { isBenchRun } from './bench-runs'
import type { RunState } from './state'

/** Why this run has none, and can have none as it is, in a sentence; null: it may have one. */
export const noRecordOf = ({ started, ended }: Pick<RunState, 'started' | 'ended'>): string | null => {
  if (started.practice !== undefined) return 'This is a practice run: its values are simulated, and no record is made of them.'
  if (isBenchRun(started.board.id)) return 'This run checks the meter, not an item: no record is made of it.'
  return ended === null ? 'This run has not ended: go on with it, or end it, then issue its record.' : null
}
