/** When the next board of a job follows by itself: the board before passed, and the leads have been off it for a while. */
import { shows } from '../capture/air'
import type { Seconds } from '../quantity/units'
import type { Bench } from '../run/bench'
import { nextBoardTooSoon, refusalOfNextBoard } from '../run/next-board'

/** Unbroken air after the end: longer than a slip of the tips, shorter than a change of boards. Our choice. */
export const liftedSeconds = 2

/** Of the run on the bench: since when the leads have been apart, s; null: they are not. */
export type LiftWatch = { run: string; apartSince: Seconds | null }

type Watched = Pick<Bench, 'run' | 'record' | 'lastReading' | 'context' | 'shown'>

export const watchLift = (before: LiftWatch | null, bench: Watched, at: Seconds): LiftWatch => {
  const { run, lastReading, context: { meter } } = bench
  const own = before?.run === run.started.run ? before : { run: run.started.run, apartSince: null }
  const apart = run.status === 'ended' && lastReading !== null && shows(lastReading, meter.air, own.apartSince !== null) === 'apart'
  return { ...own, apartSince: apart ? own.apartSince ?? at : null }
}

/** A board that did not pass stays on the bench until somebody has read why and asks for the next. */
export const nextFollows = (watch: LiftWatch, bench: Watched, at: Seconds): boolean =>
  bench.run.ended?.verdict === 'pass' && watch.run === bench.run.started.run && watch.apartSince !== null && at - watch.apartSince >= liftedSeconds && nextBoardTooSoon(bench, at) === null && refusalOfNextBoard(bench) === null
