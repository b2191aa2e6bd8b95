/** The sheets of a PDF: their size and margins, how far the page is filled, and what stands above and below on every page. */
import { paperName, type PaperName } from '../../../../src-core/record/commands'
import { inks, type Pen, type Style } from './pen'

export { paperName, type PaperName }

/** ISO 216, and ANSI letter; in points of 1/72 inch. */
export const papers = { a4: { width: 595.28, height: 841.89 }, letter: { width: 612, height: 792 } } as const satisfies Record<PaperName, object>

const margin = { left: 42, right: 42, top: 58, bottom: 54 }

export type Flow = {
  pen: Pen
  left: number; width: number; top: number; bottom: number
  /** Where the next block begins. */
  y: number
  newPage: () => void
  /** A page in which `height` fits below; the present one where it does. */
  need: (height: number) => void
}

export const createFlow = (pen: Pen, paper: PaperName): Flow => {
  const { width, height } = papers[paper]
  const flow: Flow = {
    pen, left: margin.left, width: width - margin.left - margin.right, top: margin.top, bottom: height - margin.bottom, y: margin.top,
    newPage: () => {
      pen.pdf.addPage({ size: [width, height], margin: 0 })
      flow.y = flow.top
    },
    need: (wanted) => { if (flow.y + wanted > flow.bottom && flow.y > flow.top) flow.newPage() },
  }
  return flow
}

const small: Style = { face: 'regular', size: 7.5, colour: inks.faint }

/** So many letters as fit, with a sign for those left out. */
const fitted = (pen: Pen, text: string, most: number, style: Style): string => {
  if (pen.width(text, style) <= most) return text
  const letters = [...text]
  while (letters.length > 0 && pen.width(`${letters.join('')}…`, style) > most) letters.pop()
  return `${letters.join('')}…`
}

export type PageRange = { head: string; issuer: string; foot: string; from: number; count: number }

/** Written last, when the number of pages is known. */
export const writeEdges = ({ pen, left, width, bottom }: Flow, ranges: readonly PageRange[]): void => {
  const whole = ranges.reduce((sum, { count }) => sum + count, 0)
  for (const { head, issuer, foot, from, count } of ranges) {
    for (let page = 0; page < count; page += 1) {
      pen.pdf.switchToPage(from + page)
      const strong: Style = { ...small, face: 'strong' }
      pen.tags.apart(() => {
        pen.write(fitted(pen, head, width / 2 - 6, strong), left, 32, strong)
        const right = fitted(pen, issuer.replace(/\s+/g, ' '), width / 2 - 6, small)
        pen.write(right, left + width - pen.width(right, small), 32, small)
        pen.pdf.lineWidth(0.5).strokeColor(inks.line).moveTo(left, 46).lineTo(left + width, 46).stroke()
        pen.pdf.moveTo(left, bottom + 12).lineTo(left + width, bottom + 12).stroke()
        const number = `page ${page + 1} of ${count}`
        const sheet = ranges.length > 1 ? `${number} (sheet ${from + page + 1} of ${whole} of this file)` : number
        pen.write(fitted(pen, foot, width - pen.width(sheet, small) - 12, small), left, bottom + 18, small)
        pen.write(sheet, left + width - pen.width(sheet, small), bottom + 18, small)
      })
    }
  }
}
