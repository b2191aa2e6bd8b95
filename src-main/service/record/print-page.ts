/** Makes a PDF of one sheet from a page that comes in several lengths. */
import { z } from 'zod'
import type { Section } from '../../../src-core/record/print/block'
import { paperName } from './pdf/paper'
import { pagePdf } from './pdf/page-pdf'
import { CannotPrint } from './pdf/pen'
import { NotPrinted } from './print-records'

/** The service made the sections; the fullest comes first. */
export const pageWish = z.strictObject({ sections: z.array(z.custom<Section>((value) => typeof value === 'object' && value !== null && 'blocks' in value)).min(1), paper: paperName, utc: z.iso.datetime() })
export type PageWish = z.infer<typeof pageWish>

/** @throws NotPrinted for a letter that the typeface of the PDF lacks. */
export const printPage = async ({ sections, paper, utc }: PageWish): Promise<Buffer> => {
  try {
    return await pagePdf(sections, paper, new Date(utc))
  } catch (error) {
    throw error instanceof CannotPrint ? new NotPrinted(error.message, { cause: error }) : error
  }
}
