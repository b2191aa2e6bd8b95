/** Makes the pages of a PDF again from what is attached to it, to tell whether they are its print: what a page shows is not signed itself. */
import { PDFDocument } from '@cantoo/pdf-lib'
import { judgeText } from '../../../src-core/record/judge-file'
import { sha256OfBytes } from './board-pictures'
import { readLayoutMark } from './pdf/layout-mark'
import { recordPdf } from './pdf/record-pdf'
import { checks } from './signatures'

/** `not-compared`: made by another version, or by another program. */
export type PagesAre = 'the-print' | 'changed' | 'not-compared'

/** @param text that is attached, and fits its signature. */
export const pagesAre = async (bytes: Uint8Array, text: string): Promise<PagesAre> => {
  const pdf = await PDFDocument.load(bytes, { updateMetadata: false })
  const made = readLayoutMark(pdf.getKeywords() ?? '')
  const files = judgeText(text, checks).flatMap((each) => (each.is === 'record' || each.is === 'statement' ? [each.file] : []))
  if (made === null || files.length === 0) return 'not-compared'
  const pictures = new Map(pdf.getAttachments().map(({ data }) => [sha256OfBytes(data), data]))
  return (await recordPdf(text, files, pictures, made)).equals(bytes) ? 'the-print' : 'changed'
}

export const pagesInWords: Record<PagesAre, string> = {
  'the-print': 'Its pages are the print of what is inside, byte for byte.',
  changed: 'ITS PAGES ARE NOT the print of the record inside: the file was changed after it was made. Only the record inside counts; “export” makes its pages anew.',
  'not-compared': 'ITS PAGES WERE NOT COMPARED with the record inside: another version or program made them, and they may say something else. Only the record inside is judged; “export” makes its pages anew.',
}
