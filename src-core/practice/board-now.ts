/** The practice board as it lies there: what is broken in it, what is off or lifted, and whether it is under power. */
import type { BoardType } from '../board/board-type'
import { sameState, type PartState } from '../board/part-state'
import { type Fault, faultText, parseFaults } from '../circuit/faults'
import { acceptanceInterval } from '../metrology/interval'
import type { RepairEntry } from '../repair/entry'
import { isUnderPower } from '../repair/prove'
import { currentStep, type Bench } from '../run/bench'
import { boardOfStep } from '../run/beside'
import { boardStateOf } from '../run/board-state'
import type { Plan } from '../run/plan'
import type { RunState } from '../run/state'

/** `good`: the leads are on the good board beside it, whose parts were drawn anew and of which none is faulty. */
export type BoardNow = { faults: readonly Fault[]; state: readonly PartState[]; powered: boolean; good?: true }

export const goodBoard: BoardNow = { faults: [], state: [], powered: false, good: true }

export const boardNow = (faults: readonly Fault[], plan: Plan, run: RunState): BoardNow => ({ faults, state: boardStateOf(plan, run), powered: isUnderPower(run) })

/** The board that the bench asks for now, with its hidden faults where it is the one under test. */
export const boardAsked = (faults: readonly Fault[], bench: Pick<Bench, 'context' | 'run' | 'utcMs'>): BoardNow => {
  const step = currentStep(bench)
  return step !== null && boardOfStep(bench.run, step) === 'good' ? goodBoard : boardNow(faults, bench.context.plan, bench.run)
}

/** From one board to the other the leads go only when they are lifted. */
export const underLeads = (before: BoardNow, asked: BoardNow, lifted: boolean): BoardNow => (asked.good === before.good || lifted ? asked : before)

/** Whether both read alike, in whatever order things were lifted. */
export const isSameBoard = (one: BoardNow, other: BoardNow): boolean =>
  one.good === other.good && one.powered === other.powered && sameState(one.state, other.state) && one.faults.map(faultText).join() === other.faults.map(faultText).join()

/** What is still broken after these repairs: a part that was replaced is sound, and a bridge is gone once a part at it was soldered. */
export const faultsLeft = (board: BoardType, faults: readonly Fault[], entries: readonly Pick<RepairEntry, 'part' | 'action'>[]): Fault[] => faults.filter((fault) => {
  if (fault.kind !== 'bridge') return !entries.some(({ part, action }) => action === 'replaced' && part === fault.ref)
  const soldered = entries.filter(({ action }) => action === 'replaced' || action === 'resoldered').map(({ part }) => part)
  return !board.parts.some(({ ref, pins }) => soldered.includes(ref) && Object.values(pins).some((net) => fault.nets.includes(net)))
})

type Hidden = { faults: string[]; repaired?: string[] | undefined }

/** The same of faults as a run keeps them, and those that are repaired by now; what cannot be read stays. */
export const hiddenAfter = <H extends Hidden>(board: BoardType, hidden: H, entries: readonly Pick<RepairEntry, 'part' | 'action'>[]): H => {
  const parsed = parseFaults(board, hidden.faults)
  if ('problems' in parsed) return hidden
  const left = faultsLeft(board, parsed.faults, entries)
  const repaired = [...hidden.repaired ?? [], ...parsed.faults.filter((fault) => !left.includes(fault)).map(faultText)]
  return { ...hidden, faults: left.map(faultText), ...(repaired.length === 0 ? {} : { repaired }) }
}

/**
 * Volts across two nets of the board under power; null where it is not. The solver knows no working regulator: a board that is whole and
 * has no fault left shows at each powered step the middle of its limits, any other board does not come up.
 */
export const liveVolts = (board: BoardType, { faults, state, powered }: BoardNow, red: string, black: string): number | null => {
  if (!powered) return null
  if (faults.length > 0 || state.length > 0) return 0
  const netOf = (id: string): string | undefined => board.testPoints.find((point) => point.id === id)?.net
  for (const step of board.prove?.powerUp?.steps ?? []) {
    if (step.kind !== 'measure' || step.function !== 'dc-voltage' || step.limits === undefined) continue
    const sign = netOf(step.red) === red && netOf(step.black) === black ? 1 : netOf(step.red) === black && netOf(step.black) === red ? -1 : 0
    const interval = acceptanceInterval(step.limits, step.function)
    if (sign === 0 || interval.kind === 'open') continue
    const { lo, hi } = interval
    return sign * (((lo ?? 0) + (hi ?? 2 * (lo ?? 0))) / 2)
  }
  return 0
}
