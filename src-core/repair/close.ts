/** When a board may be closed, and as what: what is still to be done is named. */
import type { BoardType } from '../board/board-type'
import { standingTouch } from '../run/standing'
import { stepState } from '../run/state'
import { valueInWords } from '../run/words'
import type { Closing } from './entry'
import { isProof, notCleared, type History } from './cleared'
import { entriesOf, notWholeInWords, stateAfterRepairs } from './log'

const named = (titles: readonly string[]): string => titles.slice(0, 5).join('; ') + (titles.length > 5 ? ` and ${titles.length - 5} more` : '')

/** The rule that ended a run beyond repair, with the reading that met it; null where none did. */
export const ruleThatEnded = ({ state, plan }: History[number]): string | null => {
  if (state.ended?.verdict !== 'beyond-repair') return null
  const step = plan.steps.findLast(({ id }) => { const next = stepState(state, id).decided?.next; return next !== undefined && typeof next !== 'string' && next.stop === 'beyond-repair' })
  if (step === undefined) return state.ended.because
  const touch = standingTouch(stepState(state, step.id))
  const read = touch === null ? stepState(state, step.id).done?.note ?? '' : valueInWords(touch.value, touch.function, touch.unit, touch.resolution)
  return `${step.title}${read === '' ? '' : ` reads ${read}`}: ${state.ended.because}`
}

/** Why the board cannot be closed so, in a sentence; null: it can. @param board as its file has it. */
export const refusalToClose = (board: BoardType, history: History, as: Closing): string | null => {
  const latest = history.at(-1)
  if (latest === undefined || latest.state.ended === null) return 'The last run of this board is not ended yet.'
  if (history.some(({ state }) => state.events.some(({ kind }) => kind === 'closed'))) return 'This board is closed already.'
  if (as === 'returned' || as === 'beyond-repair') return null
  const repaired = history.some(({ state }) => entriesOf(state).length > 0)
  const notWhole = notWholeInWords(stateAfterRepairs(latest.plan, latest.state))
  if (notWhole !== '') return notWhole
  if (as === 'repaired' && !repaired) return 'Nothing was logged as repaired. Log it first, or close the board as no fault found.'
  if (as === 'no-fault-found' && repaired) return 'Repairs are logged on this board: close it as repaired.'
  if (entriesOf(latest.state).length > 0) return 'It was repaired after its last measurement. Measure it again first.'
  if (latest.state.ended.verdict !== 'pass') return `Its last run is not passed: ${latest.state.ended.because}`
  const provedAt = history.findLastIndex((run) => isProof(run))
  const proof = history[provedAt]?.state.ended ?? null
  if (proof !== null && history.slice(provedAt).some(({ state }) => entriesOf(state).length > 0)) return 'It was repaired after the last proof that it works. Prove it again.'
  if (proof !== null && proof.verdict !== 'pass') return `The last proof that it works is not passed: ${proof.because} Prove it again.`
  const open = notCleared(board, history)
  return open.length === 0 ? null : `Not passed since: ${named(open)}. Measure ${open.length === 1 ? 'it' : 'them'} again.`
}

/** What a closed board is told in, without a reason of its own. @param as how it is closed. */
export const closingGround = (history: History, as: Closing): string => {
  const latest = history.at(-1)
  switch (as) {
    case 'repaired': return 'Every step that failed has passed since its repair, and the board is whole.'
    case 'no-fault-found': return 'Every step that was asked for lies within its limits, and nothing was repaired.'
    case 'beyond-repair': return (latest === undefined ? null : ruleThatEnded(latest)) ?? ''
    case 'returned': return ''
  }
}
