/** What is still to be measured on one unit: steps that did not pass, were repaired since, or were never made. */
import type { BoardType, Step } from '../board/board-type'
import { isPass, type StepVerdict } from '../run/branch'
import type { Plan } from '../run/plan'
import { stepState, type RunState } from '../run/state'
import { affectedSteps } from './again'
import { entriesOf } from './log'

/** Runs of one unit, the first one first; the last one is the run that is closed on. */
export type History = readonly { state: RunState; plan: Plan }[]
type OneRun = History[number]

export const isProof = ({ state }: OneRun): boolean => state.started.follows?.purpose === 'prove'

/** The last run of the sequence, whole or in part; a proof is none. */
export const lastOfSequence = (history: History): OneRun | null => history.findLast((run) => !isProof(run)) ?? null

/** `due`: it failed or was not judged, or sees a repair made since; `never-made`: measured in no run. */
type Standing = 'cleared' | 'due' | 'never-made'

/** Of a step, or of every point of a walk that was judged; null: a point that was not, or a walk that was learned, which judges nothing. [] where nothing of it was made. */
const verdictsOf = ({ state }: OneRun, id: string): (StepVerdict | null)[] => {
  if (stepState(state, id).learned.length > 0) return [null]
  const ids = state.started.walks?.[id]?.map((point) => point.id) ?? [id]
  const verdicts = ids.map((each) => stepState(state, each).decided?.verdict ?? null)
  return verdicts.every((verdict) => verdict === null) ? [] : verdicts
}

const standingOf = (history: History, seen: readonly string[][], { id, kind }: Step): Standing => {
  const made = history.findLastIndex((run) => !isProof(run) && verdictsOf(run, id).length > 0)
  // A repair is logged on a run that has ended: it lies behind every step of that run.
  const repaired = seen.findLastIndex((steps) => steps.includes(id))
  if (repaired >= 0 && repaired >= made) return 'due'
  const run = history[made]
  if (run === undefined) return kind === 'look' || kind === 'do' ? 'cleared' : 'never-made'
  return verdictsOf(run, id).every((verdict) => verdict !== null && isPass(verdict)) ? 'cleared' : 'due'
}

/** Steps of the board file that are not cleared, in the order of the sequence. @param board as its file has it. */
const openSteps = (board: BoardType, history: History): { step: Step; standing: Standing }[] => {
  const seen = history.map(({ state }) => affectedSteps(board, entriesOf(state).map(({ entry }) => entry), []))
  return board.sequence.steps.map((step) => ({ step, standing: standingOf(history, seen, step) })).filter(({ standing }) => standing !== 'cleared')
}

/** Titles of the steps without a pass behind the last repair that they see, in the order of the sequence. @param board as its file has it. */
export const notCleared = (board: BoardType, history: History): string[] => openSteps(board, history).map(({ step }) => step.title)

/** Ids of the steps that see a repair made since they last passed, and of those that did not pass; where there are none, of those never made. @param board as its file has it. */
export const stepsToMakeAgain = (board: BoardType, history: History): string[] => {
  const open = openSteps(board, history)
  const due = open.filter(({ standing }) => standing === 'due')
  return (due.length > 0 ? due : open).map(({ step }) => step.id)
}
