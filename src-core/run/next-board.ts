/** When the next board may follow: a press too many at the end of a run starts none, nor does one from a board with something loose on it. */
import type { Seconds } from '../quantity/units'
import { notWholeInWords, stateAfterRepairs } from '../repair/log'
import type { Bench } from './bench'

/** The next board counts only this long after the end came up. */
export const nextBoardAfterSeconds = 1.5

/** Why the next board does not follow yet, in a sentence; null: it may. @param at time of the press, s. */
export const nextBoardTooSoon = (bench: Pick<Bench, 'run' | 'shown'>, at: Seconds): string | null =>
  bench.run.status === 'ended' && at - bench.shown.since < nextBoardAfterSeconds
    ? 'The end has only just come up, so no board was started. Ask for the next board once more.' : null

/**
 * Why none follows at all while this board lies there as it does, in a sentence; null: one may. A board that is closed or beyond repair is left as it is,
 * and a run that is read from the records has no board on the bench.
 */
export const refusalOfNextBoard = ({ run, record, context: { plan } }: Pick<Bench, 'run' | 'record' | 'context'>): string | null => {
  if (record || run.ended === null || run.ended.verdict === 'beyond-repair' || run.events.some(({ kind }) => kind === 'closed')) return null
  const notWhole = notWholeInWords(stateAfterRepairs(plan, run))
  return notWhole === '' ? null : `${notWhole} Then the next one follows.`
}
