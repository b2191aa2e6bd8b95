/** What a PDF says of how its pages were made, so that they can be made again from the JSON inside and compared. */
import { papers, type PaperName } from './paper'

/** Counted up with every change that moves or rewords anything on a page. */
export const layoutVersion = 6

type Made = { paper: PaperName; budgets: boolean }

export const layoutMark = ({ paper, budgets }: Made): string => `pages ${layoutVersion}; ${paper}; budgets ${budgets ? 'yes' : 'no'}`

/** Null: of another version, or no such mark at all. */
export const readLayoutMark = (text: string): Made | null => {
  for (const paper of Object.keys(papers) as PaperName[]) {
    for (const budgets of [true, false]) if (text === layoutMark({ paper, budgets })) return { paper, budgets }
  }
  return null
}
