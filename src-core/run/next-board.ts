/** When the next board may follow: a press too many at the end of a run was meant for its last step, and starts no board. */
import type { Seconds } from '../quantity/units'
import type { Bench } from './bench'

/** The next board counts only this long after the end came up. */
export const nextBoardAfterSeconds = 1.5

/** Why the next board does not follow yet, in a sentence; null: it may. @param at time of the press, s. */
export const nextBoardTooSoon = (bench: Pick<Bench, 'run' | 'shown'>, at: Seconds): string | null =>
  bench.run.status === 'ended' && at - bench.shown.since < nextBoardAfterSeconds
    ? 'The end has only just come up, so no board was started. Ask for the next board once more.' : null
