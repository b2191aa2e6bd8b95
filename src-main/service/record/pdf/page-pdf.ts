/** A page as a PDF of one sheet: the fullest of its lengths that fits, else the shortest. */
import type { Section } from '../../../../src-core/record/print/block'
import { drawBlocks } from './blocks'
import { finished, openPdf } from './open-pdf'
import { createFlow, type PaperName, writeEdges } from './paper'
import { createPen, type Pdf } from './pen'

const drawn = ({ head, issuer, blocks }: Section, paper: PaperName, made: Date): { pdf: Pdf; count: number } => {
  const pdf = openPdf({ title: head, author: issuer, made })
  const pen = createPen(pdf)
  const flow = createFlow(pen, paper)
  flow.newPage()
  pen.tags.within(pen.tags.open('Sect'), () => { drawBlocks(flow, blocks, new Map()) })
  const { count } = pdf.bufferedPageRange()
  writeEdges(flow, [{ head, issuer, foot: '', from: 0, count }])
  return { pdf, count }
}

/** @param lengths at least one. @throws CannotPrint for a letter without a glyph; RangeError without a length. */
export const pagePdf = (lengths: readonly Section[], paper: PaperName, made: Date): Promise<Buffer> => {
  let last: Pdf | null = null
  for (const each of lengths) {
    const { pdf, count } = drawn(each, paper, made)
    last = pdf
    if (count === 1) break
  }
  if (last === null) throw new RangeError('A page has at least one length.')
  return finished(last)
}
