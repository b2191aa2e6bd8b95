/** When a board may be closed, and as what: what is still to be done is named. */
import { isFail, isPass } from '../run/branch'
import type { Plan } from '../run/plan'
import { standingTouch } from '../run/standing'
import { stepState, type RunState } from '../run/state'
import { valueInWords } from '../run/words'
import type { Closing } from './entry'
import { cleanStep, coolStep } from './again'
import { entriesOf, notWholeInWords, stateAfterRepairs } from './log'

/** Runs of one unit, the first one first; the last one is the run that is closed on. */
export type History = readonly { state: RunState; plan: Plan }[]

const isOwn = (id: string): boolean => id !== cleanStep && id !== coolStep

/** Titles of steps whose last verdict in all these runs is no pass, in the order of the first run. */
export const notCleared = (history: History): string[] => {
  const last = new Map<string, { title: string; passed: boolean }>()
  for (const { state, plan } of history) {
    for (const step of plan.steps) {
      const { decided } = stepState(state, step.id)
      if (decided !== null && isOwn(step.id)) last.set(step.id, { title: step.title, passed: isPass(decided.verdict) })
    }
  }
  return [...last.values()].filter(({ passed }) => !passed).map(({ title }) => title)
}

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

/** Why the board cannot be closed so, in a sentence; null: it can. */
export const refusalToClose = (history: History, as: Closing): string | null => {
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
  const open = notCleared(history)
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

export const failedSteps = ({ state, plan }: History[number]): string[] => plan.steps.flatMap(({ id }) => {
  const verdict = stepState(state, id).decided?.verdict
  return isOwn(id) && verdict !== undefined && (isFail(verdict) || verdict === 'doubtful' || verdict === 'not-judged') ? [id] : []
})
