/**
 * The PDF of signed files: what is printed of each, page after page, with the JSON they came from and the pictures inside. The same JSON,
 * pictures and options make the same bytes, at any time and on any machine: no clock, no chance, and nothing is compressed, since zlib
 * differs from one runtime to another.
 */
import { sectionsOf } from '../../../../src-core/record/print/pages'
import type { SignedFile } from '../../../../src-core/record/schema'
import { picturesNamed } from '../board-pictures'
import { drawBlocks } from './blocks'
import type { BoardPictures } from './board'
import { createFlow, writeEdges, type PageRange, type PaperName } from './paper'
import { finished, openPdf } from './open-pdf'
import { createPen } from './pen'
import { layoutMark } from './layout-mark'

export type PdfOptions = { paper: PaperName; budgets: boolean }

const issuedOf = (file: SignedFile): string => ('record' in file ? file.record.dates.issued : file.statement.at)

const titleOf = (files: readonly SignedFile[], heads: readonly string[]): string => (files.length === 1 ? heads[0] ?? '' : `${heads[0] ?? ''} to ${heads.at(-1) ?? ''}`)

/** "board.svg": how its bytes begin says what it is. */
const endingOf = (bytes: Uint8Array): { ending: string; type: string } =>
  (bytes[0] === 0x89 ? { ending: 'png', type: 'image/png' } : bytes[0] === 0xff ? { ending: 'jpg', type: 'image/jpeg' } : { ending: 'svg', type: 'image/svg+xml' })

/** @param text of the files as they were read: it is attached as it is. @param pictures by SHA-256. @throws CannotPrint for a letter without a glyph. */
export const recordPdf = async (text: string, files: readonly SignedFile[], pictures: BoardPictures, { paper, budgets }: PdfOptions): Promise<Buffer> => {
  const sections = sectionsOf(files, { budgets })
  const issued = new Date(Math.max(...files.map((file) => Date.parse(issuedOf(file)))))
  const heads = sections.map(({ head }) => head)
  const pdf = openPdf({ title: titleOf(files, heads), author: sections[0]?.issuer ?? '', keywords: layoutMark({ paper, budgets }), made: issued })
  const pen = createPen(pdf)
  const flow = createFlow(pen, paper)
  const ranges = sections.map(({ head, issuer, blocks }, index): PageRange => {
    const from = pdf.bufferedPageRange().count
    flow.newPage()
    pen.tags.within(pen.tags.open('Sect'), () => { drawBlocks(flow, blocks, pictures) })
    const file = files[index]
    return { head, issuer, foot: `SHA-256 ${file?.seal.sha256 ?? ''}`, from, count: pdf.bufferedPageRange().count - from }
  })
  writeEdges(flow, ranges)
  const [first] = files
  const name = files.length === 1 && first !== undefined && 'record' in first ? `record-${first.record.number}.json` : 'records.json'
  const dates = { creationDate: issued, modifiedDate: issued }
  pdf.file(Buffer.from(text, 'utf8'), { ...dates, name, type: 'application/json', description: 'What was signed' })
  for (const sha256 of picturesNamed(files)) {
    const bytes = pictures.get(sha256)
    if (bytes === undefined) continue
    const { ending, type } = endingOf(bytes)
    pdf.file(Buffer.from(bytes), { ...dates, name: `board-${sha256.slice(0, 16)}.${ending}`, type, description: 'The board’s picture' })
  }
  return finished(pdf)
}
