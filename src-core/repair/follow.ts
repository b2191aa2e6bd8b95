/** Whether and how a unit is measured again behind its last run: what the new run is told of the board and of its repairs. */
import type { BoardType } from '../board/board-type'
import { stateInWords } from '../board/part-state'
import { refusalToCompare } from '../run/beside'
import { coolingMinutes, planOfBoard } from './again'
import { lastOfSequence, notCleared, stepsToMakeAgain, type History } from './cleared'
import type { FollowsRun } from './entry'
import { entryInWords } from './entry-words'
import { entriesOf, notWholeInWords, stateAfterRepairs } from './log'

/** Repairs as a run and a record name them: those it was told of, and those logged on it. */
export const repairsOf = ({ started, events }: History[number]['state']): FollowsRun['repairs'] => [
  ...started.follows?.repairs ?? [],
  ...entriesOf({ events }).map(({ entry, utc }) => ({ part: entry.part, what: entryInWords(entry).slice(0, 2000), at: utc, by: entry.by })),
]

/**
 * When the board is as cool as the bench again; null: nothing was soldered since its last run, and it was cool when that ended. What that run itself
 * was told to wait for still holds where it was cut short before. ISO, UTC.
 */
export const coolUtcOf = ({ state }: History[number]): string | null => {
  const last = entriesOf(state).at(-1)
  if (last !== undefined) return new Date(Date.parse(last.utc) + coolingMinutes * 60_000).toISOString()
  const told = state.started.follows?.coolUtc ?? null
  return told !== null && state.ended !== null && Date.parse(told) > Date.parse(state.ended.utc) ? told : null
}

/** Why nothing follows now, in a sentence; null: it may. @param board as its file has it. */
export const refusalToFollow = (board: BoardType, history: History, purpose: FollowsRun['purpose']): string | null => {
  const latest = history.at(-1)
  if (latest === undefined || latest.state.ended === null) return 'The last run of this board is not ended yet. Take it up again on Records, or end it.'
  if (latest.state.events.some(({ kind }) => kind === 'closed')) return 'This board is closed. Start it anew to work on it again.'
  switch (purpose) {
    case 'whole': return null
    case 'affected': return stepsToMakeAgain(board, history).length > 0 ? null
      : entriesOf(latest.state).length > 0 ? 'No step of the sequence sees what was repaired. Measure the whole sequence again.' : 'Nothing failed, and nothing was repaired since. Measure the whole sequence again.'
    case 'prove': {
      if (board.prove === undefined) return 'The board file says nothing of how this board is shown to work ("prove"). It is closed on its measurements alone.'
      const notWhole = notWholeInWords(stateAfterRepairs(latest.plan, latest.state))
      if (notWhole !== '') return notWhole
      if (entriesOf(latest.state).length > 0) return 'It was repaired after its last measurement. Measure it again before any power is put on.'
      const open = notCleared(board, history)
      if (open.length > 0) return `No power before every step has passed. Still open: ${open.slice(0, 5).join('; ')}.`
      const ended = lastOfSequence(history)?.state.ended ?? null
      return ended?.verdict === 'pass' ? null : `No power before the last run of the sequence has passed. ${ended?.because ?? 'There is none.'}`
    }
  }
}

/** @throws Error where nothing follows: refusalToFollow tells beforehand. */
export const followsOf = (board: BoardType, history: History, purpose: FollowsRun['purpose']): FollowsRun => {
  const latest = history.at(-1)
  if (latest === undefined) throw new Error('There is no run to follow.')
  return {
    run: latest.state.started.run, purpose, state: stateAfterRepairs(latest.plan, latest.state), repairs: repairsOf(latest.state),
    coolUtc: purpose === 'prove' ? null : coolUtcOf(latest), ...(purpose === 'affected' ? { steps: stepsToMakeAgain(board, history) } : {}),
  }
}

/** Whether the run that follows is made beside a good board unless the technician says no: as the last one of the sequence was. */
export const keptBeside = (history: History): boolean => lastOfSequence(history)?.state.started.beside === true

/** Why the run that follows is made on this board alone, in a sentence; null: a good one may lie beside it. @param board as its file has it. */
export const refusalBeside = (board: BoardType, history: History, purpose: FollowsRun['purpose']): string | null => {
  if (purpose === 'prove') return 'That it works is proven on this board alone.'
  const follows = followsOf(board, history, purpose)
  if (follows.state.length > 0) return `Made on this board alone: ${stateInWords(follows.state)} here, and not on a good board.`
  return refusalToCompare(planOfBoard(board, follows, () => [])) === null ? null : 'Made on this board alone: none of its steps is measured with the power off between two test points.'
}
