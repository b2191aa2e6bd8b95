/** Runs with no board: the closing check, the check of a meter, and the fit of its source. Each has a pseudo-board of its own. */
import type { StatedAccuracy } from '../meter/accuracy-of'
import type { BenchKit } from '../meter/instrument'
import { checkBoardId, checkPlan, refusalToCheck, refusalToCheckUnconfirmed, type WhichMeter } from './check-run'
import { closingBoardId, closingPlan } from './closing'
import { fitBoardId, fitPlan } from './fit-run'
import type { Plan } from './plan'

export type BenchRun = typeof closingBoardId | typeof checkBoardId | typeof fitBoardId
export const benchRuns: readonly BenchRun[] = [closingBoardId, checkBoardId, fitBoardId]

const found = (board: string): BenchRun | null => benchRuns.find((each) => each === board) ?? null
export const isBenchRun = (board: string): boolean => found(board) !== null

/** Stands where the SHA-256 of a board file stands; the closing check had none but zeros from the first. */
export const benchRunFile = (run: BenchRun): string => String(benchRuns.indexOf(run)).padStart(64, '0')

export const benchRunPlanOf = (run: BenchRun, kit: BenchKit, meter: StatedAccuracy | null): Plan => {
  switch (run) {
    case closingBoardId: return closingPlan(kit)
    case checkBoardId: return checkPlan(kit, meter)
    case fitBoardId: return fitPlan(kit)
  }
}

/** Null, or why this run cannot be made with the kit as it is, or with a meter nobody is sure of. @param at UTC. */
export const refusalToBenchRun = (run: BenchRun, kit: BenchKit, at: string, which: WhichMeter): string | null =>
  (run === checkBoardId ? refusalToCheck(kit, at) ?? refusalToCheckUnconfirmed(which) : null)

/** Null where that id is a board's. */
export const benchRunPlan = (board: string, kit: BenchKit, meter: StatedAccuracy | null): Plan | null => {
  const run = found(board)
  return run === null ? null : benchRunPlanOf(run, kit, meter)
}
