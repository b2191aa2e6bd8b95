/** Finds a board type in the library by its id and revision. */
import { Refusal } from './dispatcher'
import type { LibraryBoard } from './library-files'

/** @param revision null: any. @throws Refusal when there is none. */
export const boardNamed = (boards: readonly LibraryBoard[], id: string, revision: string | null): LibraryBoard => {
  const found = boards.find(({ board }) => board.id === id && (revision === null || board.revision === revision))
  if (found === undefined) throw new Refusal(`There is no board type ${id}${revision === null ? '' : ` revision ${revision}`}. Choose one from the list.`)
  return found
}
