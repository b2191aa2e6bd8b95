/** What the Meters screen asks for of a meter's checks: its history, whether its values are traceable now, and the runs under review. */
import type { CommandOutput } from '../../src-core/contract'
import { benchRunPlan, isBenchRun } from '../../src-core/run/bench-runs'
import { checkBoardId, failuresLeft } from '../../src-core/run/check-run'
import { checkOutcome, type CheckResult } from '../../src-core/metrology/check-standards'
import { rebuild, type RunState } from '../../src-core/run/state'
import { failedCheckWarning, reviewSpans, reviewWords, traceable, underReview } from '../../src-core/metrology/traceable'
import { Refusal } from './dispatcher'
import type { CheckStore } from './store/check-store'
import type { RunList } from './store/run-list'
import type { RunRow, RunStore } from './store/run-store'
import type { ShopStore } from './store/shop-store'

type Stores = { runs: RunStore; list: RunList; shop: ShopStore; checks: CheckStore }

const shownRuns = 100
const shownChecks = 200

/** Runs of real boards on this meter that these checks put under review, newest first. */
const reviewed = (runs: RunStore, meter: string, checks: readonly CheckResult[]): RunRow[] => {
  const spans = reviewSpans(checks)
  if (spans.length === 0) return []
  const since = spans.map(({ lastGoodUtc }) => lastGoodUtc ?? '').sort()[0] ?? ''
  return underReview(checks, runs.measuredSince(meter, since).filter((row) => !row.practice && !isBenchRun(row.board))).reverse()
}

/** The sentence on runs under review that a failed check adds to its own run; null where none failed. @param made what was just decided. */
export const reviewNote = (runs: RunStore, before: readonly CheckResult[], made: readonly CheckResult[]): string | null => {
  const failed = made.findLast((check) => checkOutcome(check) === 'failed')
  if (failed === undefined) return null
  const all = [...before, ...made]
  const last = reviewSpans(all).find((span) => span.failed.id === failed.id)?.lastGoodUtc ?? null
  // Of the runs before, those that this failure speaks of.
  const own = [...all.filter((check) => check.good), failed]
  return reviewWords(reviewed(runs, failed.meter, own).length, last)
}

/**
 * Failing touches of a check that leaves the bench, or was cut short, without its end: kept, so that putting it aside unmakes nothing.
 * @param report what cannot be written now is at the next start.
 */
export const keepFailuresLeft = (checks: CheckStore, run: RunState, report: (error: unknown) => void): void => {
  const { board, kit, meter } = run.started
  const plan = board.id === checkBoardId ? benchRunPlan(board.id, kit, meter) : null
  try {
    for (const check of plan === null ? [] : failuresLeft(plan, run)) if (!checks.has(check.id)) checks.add(check)
  } catch (error) {
    report(error)
  }
}

/** Checks that were on the bench when the app was killed. */
export const settleChecksLeft = (runs: RunStore, checks: CheckStore, report: (error: unknown) => void): void => {
  for (const run of runs.unended(checkBoardId)) keepFailuresLeft(checks, rebuild(runs.events(run)), report)
}

export const checkHistory = ({ runs, list, shop, checks }: Stores, id: string, utc: string): CommandOutput<'check-history'> => {
  const meter = shop.meters().find((each) => each.id === id)
  if (meter === undefined) throw new Refusal('That meter is no longer in the list.')
  const own = checks.of(id)
  const newest = own.at(-1)?.utc ?? ''
  const doubted = reviewed(runs, id, own)
  return {
    // A clock that was set back must not make a failed check lie in the future.
    traceability: traceable(meter, own, newest > utc ? newest : utc),
    failed: failedCheckWarning(own),
    checks: own.slice(-shownChecks), review: { total: doubted.length, runs: doubted.slice(0, shownRuns).flatMap((row) => { const entry = list.entry(row.run); return entry === null ? [] : [entry] }) },
  }
}
