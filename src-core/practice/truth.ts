/** What a practice run tells once it has ended: what was hidden, and after a run by hand how few touches would have shown it. */
import type { BoardType } from '../board/board-type'
import { type Fault, faultInWords, parseFaults } from '../circuit/faults'
import type { ShortestWay } from '../circuit/shortest-way'
import type { RunState } from '../run/state'
import { shortestInWords } from './touches'

/** `sought`: it may become known yet. `failed`: it could not be computed. */
export type KnownWay = ShortestWay | 'sought' | 'failed'

/** @param left still hidden, @param repaired what the repairs before this run took away. */
const hiddenInWords = (left: readonly string[], repaired: readonly string[]): string => {
  if (left.length > 0) return `Hidden in the practice board: ${left.join('; ')}.${repaired.length === 0 ? '' : ` Repaired by now: ${repaired.join('; ')}.`}`
  if (repaired.length === 0) return 'The practice board had no fault.'
  return repaired.length === 1 ? `The practice board had this fault: ${repaired.join()}. It is repaired now.` : `The practice board had these faults: ${repaired.join('; ')}. They are repaired now.`
}

/** Null for a run on a real board. @param board null where its file is missing. */
export const truthInWords = ({ started: { practice }, events }: Pick<RunState, 'started' | 'events'>, board: BoardType | null, way: KnownWay): string | null => {
  if (practice === undefined) return null
  const faultsOf = (texts: string[]): Fault[] | null => {
    const parsed = board === null ? null : parseFaults(board, texts)
    return parsed !== null && 'faults' in parsed ? parsed.faults : null
  }
  const wordsOf = (texts: string[]): string[] => faultsOf(texts)?.map(faultInWords) ?? texts
  const known = faultsOf(practice.faults)
  const was = hiddenInWords(wordsOf(practice.faults), wordsOf(practice.repaired ?? []))
  if (practice.by !== 'hand' || board === null || known === null || way === 'sought') return was
  return `${was} ${shortestInWords(board, known, way, events)}`
}
