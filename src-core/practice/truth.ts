/** What a practice run tells once it has ended: what was hidden, and after a run by hand how few touches would have shown it. */
import type { BoardType } from '../board/board-type'
import { faultInWords, parseFaults } from '../circuit/faults'
import type { ShortestWay } from '../circuit/shortest-way'
import type { RunState } from '../run/state'
import { shortestInWords } from './touches'

/** `sought`: it may become known yet. `failed`: it could not be computed. */
export type KnownWay = ShortestWay | 'sought' | 'failed'

/** Null for a run on a real board. @param board null where its file is missing. */
export const truthInWords = ({ started: { practice }, events }: Pick<RunState, 'started' | 'events'>, board: BoardType | null, way: KnownWay): string | null => {
  if (practice === undefined) return null
  const parsed = board === null ? null : parseFaults(board, practice.faults)
  const known = parsed !== null && 'faults' in parsed ? parsed.faults : null
  const words = known === null ? practice.faults : known.map(faultInWords)
  const was = words.length === 0 ? 'The practice board had no fault.' : `Hidden in the practice board: ${words.join('; ')}.`
  if (practice.by !== 'hand' || board === null || known === null || way === 'sought') return was
  return `${was} ${shortestInWords(board, known, way, events)}`
}
