/** What a practice run by hand says at its end: the touches made, and how few would have shown the fault. */
import type { BoardType } from '../board/board-type'
import type { ShortestWay } from '../circuit/shortest-way'
import { type Fault, refOf } from '../circuit/faults'
import type { RunEvent } from '../run/event'
import { isPreparation } from '../run/state'
import { titleInFile } from '../run/walk'

/** Every captured value is a touch, those taken back or measured again as well; air learned in the preparation is one too. */
export const touchesMade = (events: readonly RunEvent[]): { steps: number; preparation: number } => {
  const captured = events.filter((event) => event.kind === 'captured' || event.kind === 'learned')
  const preparation = captured.filter(({ step }) => isPreparation(step)).length
  return { steps: captured.length - preparation, preparation }
}

const counted = (n: number): string => (n === 1 ? '1 touch' : `${n} touches`)
/** More titles than this are counted, not read out. */
const mostTitles = 4

const titles = (board: BoardType, ids: readonly string[]): string => {
  const all = ids.map((id) => titleInFile(board, id) ?? id)
  return all.length <= mostTitles ? all.join(', ') : `${all.slice(0, mostTitles - 1).join(', ')} and ${all.length - mostTitles + 1} more`
}

const either = (refs: readonly string[]): string => (refs.length < 2 ? refs.join('') : `${refs.slice(0, -1).join(', ')} or ${refs.at(-1) ?? ''}`)

/** The note that a practice run by hand ends with when values were taken elsewhere than asked. */
export const misplacedInWords = (steps: readonly string[]): string =>
  `The leads were not where they were asked for at: ${steps.slice(0, mostTitles).join('; ')}${steps.length > mostTitles ? ` and ${steps.length - mostTitles} more` : ''}.`

/** "You made 19 touches, and 11 in the preparation; 2 would have shown it: U2 input A, D4 reverse." */
export const shortestInWords = (board: BoardType, hidden: readonly Fault[], way: ShortestWay | 'failed', events: readonly RunEvent[]): string => {
  const { steps, preparation } = touchesMade(events)
  const made = `You made ${counted(steps)}${preparation === 0 ? '' : `, and ${preparation} in the preparation`}`
  // The shortest way is reckoned from steps that measure once.
  if (board.sequence.steps.some(({ kind }) => kind === 'walk' || kind === 'watch')) return `${made}.`
  if (way === 'failed') return `${made}; how few would have ${hidden.length === 0 ? 'shown that nothing is wrong' : 'shown it'} could not be computed.`
  if (!way.shows) return `${made}; no step of this sequence shows the fault.`
  if (way.steps.length === 0) return `${made}; this sequence has nothing to measure.`
  const few = `${way.exact ? '' : 'at most '}${way.steps.length}`
  const shown = hidden.length === 0 ? 'would have shown that nothing is wrong' : 'would have shown it'
  const others = [...new Set(way.alike.flatMap((fault) => refOf(fault) ?? []))].filter((ref) => !hidden.some((fault) => refOf(fault) === ref))
  const unclear = hidden.length === 0 || others.length === 0 ? '' : `, as far as this sequence can tell it from ${either(others)}`
  return `${made}; ${few} ${shown}${unclear}: ${titles(board, way.steps)}.`
}
