/** Makes the PDF or the table of signed files: the one way for both hosts and the command line, so that all make the same bytes. */
import { z } from 'zod'
import { judgeText, type Judged } from '../../../src-core/record/judge-file'
import { recordColumns, recordRows } from '../../../src-core/record/record-table'
import type { SignedFile } from '../../../src-core/record/schema'
import { csvText } from '../csv'
import { picturesFor } from './board-pictures'
import { paperName } from './pdf/paper'
import { CannotPrint } from './pdf/pen'
import { recordPdf } from './pdf/record-pdf'
import { checks } from './signatures'

export const printWish = z.strictObject({
  /** JSON as it was exported: a record, or a list of records with the statement of their job. */
  text: z.string(),
  as: z.enum(['pdf', 'csv']), paper: paperName, budgets: z.boolean(),
  /** Pictures are looked for in these folders and files, by their SHA-256. */
  picturesIn: z.array(z.string()),
})
export type PrintWish = z.infer<typeof printWish>

/** The records cannot be printed; the message is for a person. */
export class NotPrinted extends Error {}

const filesIn = (judged: readonly Judged[]): SignedFile[] => judged.map((each) => {
  switch (each.is) {
    case 'record': case 'statement': return each.file
    case 'changed': throw new NotPrinted(`${each.number === null ? 'The record' : `Record ${each.number}`} is not as it was signed, so nothing was made of it. ${each.what.join(' ')}`)
    case 'unknown': throw new NotPrinted(each.because)
  }
})

/** @throws NotPrinted for a record that was changed, or a letter that the typeface of the PDF lacks. */
export const printRecords = async ({ text, as, paper, budgets, picturesIn }: PrintWish): Promise<Buffer> => {
  const files = filesIn(judgeText(text, checks))
  if (as === 'csv') return Buffer.from(csvText([recordColumns, ...recordRows(files)]), 'utf8')
  try {
    return await recordPdf(text, files, picturesFor(files, picturesIn), { paper, budgets })
  } catch (error) {
    throw error instanceof CannotPrint ? new NotPrinted(error.message, { cause: error }) : error
  }
}
