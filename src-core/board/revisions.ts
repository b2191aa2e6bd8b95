/** Board types and their revisions: which belong together, in which order they are offered, and how one is told from its siblings. */
import type { BoardType } from './board-type'

/** What is needed of a board to group it; the library's entries have more. */
export type Revised = { id: string; revision: string; name: string; board: Pick<BoardType, 'tell' | 'pictures'> }
/** `key` chooses it: "1", "2", …; null beyond the ninth. */
export type RevisionChoice<B extends Revised> = { key: string | null; revision: string; entry: B; tell: RevisionTell }
export type RevisionTell = { words: string; place: { x: number; y: number } | null }
export type BoardTypeChoice<B extends Revised> = { id: string; name: string; revisions: RevisionChoice<B>[] }

/** "2" before "10", "C" before "D", "B2" before "B10"; capitals and small letters alike. Pieces of digits compare as numbers. */
export const compareRevisions = (a: string, b: string): number => {
  const pieces = (text: string): string[] => text.toLowerCase().match(/\d+|\D+/g) ?? []
  const [left, right] = [pieces(a), pieces(b)]
  for (let at = 0; at < Math.max(left.length, right.length); at += 1) {
    const [one, other] = [left[at], right[at]]
    if (one === undefined || other === undefined) return one === undefined ? -1 : 1
    const [n, m] = [Number(one), Number(other)]
    if (!Number.isNaN(n) && !Number.isNaN(m) && n !== m) return n - m
    if (one !== other) return one < other ? -1 : 1
  }
  return a < b ? -1 : a > b ? 1 : 0
}

/** The place is given only where it lies on the first picture: that is the one a screen has at hand. */
const tellOf = ({ board: { tell, pictures }, revision }: Revised): RevisionTell =>
  tell === undefined
    ? { words: `Its file does not say how it is told from the others. Look for “${revision}” printed on the board.`, place: null }
    : { words: tell.words, place: tell.picture === pictures[0]?.id ? { x: tell.x, y: tell.y } : null }

/** Board types in the order they first appear; their revisions from the oldest. A type has the name of its newest revision. */
export const boardTypes = <B extends Revised>(boards: readonly B[]): BoardTypeChoice<B>[] => {
  const ids = [...new Set(boards.map(({ id }) => id))]
  return ids.map((id) => {
    const own = boards.filter((each) => each.id === id).sort((a, b) => compareRevisions(a.revision, b.revision))
    const revisions = own.map((entry, at) => ({ key: at < 9 ? String(at + 1) : null, revision: entry.revision, entry, tell: tellOf(entry) }))
    return { id, name: own.at(-1)?.name ?? id, revisions }
  })
}

/** The revision that lies on the bench without asking: only where there is no other. */
export const onlyRevision = <B extends Revised>(type: BoardTypeChoice<B>): B | null =>
  type.revisions.length === 1 ? type.revisions[0]?.entry ?? null : null

/** What the next board is taken for, and what one key takes it for instead: each revision in turn, the last followed by the first. */
export type NextRevision<B extends Revised> = { taken: RevisionChoice<B>; asBefore: boolean; other: RevisionChoice<B> }

/** Of the next board after `before`; `chosen` since then, if any. Null where there is nothing to choose. */
export const nextRevision = <B extends Revised>(
  boards: readonly B[], before: { id: string; revision: string }, chosen: string | null,
): NextRevision<B> | null => {
  const revisions = boardTypes(boards).find(({ id }) => id === before.id)?.revisions ?? []
  const at = revisions.findIndex(({ revision }) => revision === (chosen ?? before.revision))
  const [taken, other] = [revisions[at], revisions[(at + 1) % Math.max(1, revisions.length)]]
  return taken === undefined || other === undefined || taken === other ? null
    : { taken, asBefore: taken.revision === before.revision, other }
}

/** Said first in the run of a next board, so that another revision on the bench is noticed; null where there is no other. */
export const nextRevisionWords = <B extends Revised>(boards: readonly B[], board: { id: string; revision: string }): string | null => {
  const next = nextRevision(boards, board, null)
  return next === null ? null : `Taken for revision ${next.taken.revision}. ${next.taken.tell.words} Otherwise end this run: E.`
}

/** The type offered first: that of the latest run on this machine, else the first; null without any. `runs` in any order. */
export const typeOffered = <B extends Revised>(
  types: readonly BoardTypeChoice<B>[], runs: readonly { board: string; startedUtc: string }[],
): BoardTypeChoice<B> | null => {
  const known = runs.filter((run) => types.some(({ id }) => id === run.board))
  const last = known.reduce<(typeof known)[number] | null>((newest, run) => (newest === null || run.startedUtc > newest.startedUtc ? run : newest), null)
  return types.find(({ id }) => id === last?.board) ?? types[0] ?? null
}

/** The board practised on unless another is chosen. */
export const usualPractice = { board: 'vent-driver-node', revision: 'C' } as const

/** The board to practise on: the usual one, else the first; null without any. */
export const practiceOffered = <B extends { board: Pick<BoardType, 'id' | 'revision'> }>(boards: readonly B[]): B | null =>
  boards.find(({ board }) => board.id === usualPractice.board && board.revision === usualPractice.revision) ?? boards[0] ?? null
