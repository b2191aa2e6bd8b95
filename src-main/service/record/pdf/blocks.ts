/** Draws the blocks of a record one below the other, and keeps together what belongs together. */
import type { Block } from '../../../../src-core/record/print/block'
import { boardHeight, drawBoard, type BoardPictures } from './board'
import { drawFacts, drawTable, factsHeight, tableBegins } from './grid'
import type { Flow } from './paper'
import { inks, type Style } from './pen'
import type { Tag } from './tags'
import { spaced, writeTagged } from './tagged-lines'
import { drawQr } from './qr'
import { wrapped } from './wrap'

const styles = {
  title: { face: 'strong', size: 17, colour: inks.text }, under: { face: 'regular', size: 9, colour: inks.faint },
  heading: { face: 'strong', size: 10.5, colour: inks.text }, plain: { face: 'regular', size: 8.6, colour: inks.text },
  strong: { face: 'strong', size: 8.6, colour: inks.text }, note: { face: 'regular', size: 7.4, colour: inks.faint },
} as const satisfies Record<string, Style>

const outcomeInks = { pass: inks.good, fail: inks.bad, 'beyond-repair': inks.bad, incomplete: inks.doubt } as const

const linesOf = ({ pen, width }: Flow, text: string, style: Style, most = width): string[] => {
  pen.check(text, style.face)
  return wrapped(text, most, (each) => pen.width(each, style))
}

const writeParagraph = (flow: Flow, text: string, style: Style, after: number, tag: Tag = 'P'): void => {
  writeTagged(flow, linesOf(flow, text, style), style, tag)
  flow.y += after
}

const sealSide = 104
const sealText = (flow: Flow): { left: number; width: number } => ({ left: flow.left + sealSide + 10, width: flow.width - sealSide - 10 })

/** So much must follow a heading on its page. */
const least = (flow: Flow, block: Block | undefined): number => {
  const { pen } = flow
  switch (block?.kind) {
    case 'table': return tableBegins(flow, block)
    case 'board': return boardHeight(flow, block)
    case 'seal': return Math.max(sealSide, factsHeight(flow, block.rows, sealText(flow).width))
    case undefined: return 0
    default: return 3 * pen.lineHeight(styles.plain.size)
  }
}

const drawOutcome = (flow: Flow, { verdict, text, because }: Extract<Block, { kind: 'outcome' }>): void => {
  const { pen, left, width } = flow
  const word: Style = { face: 'strong', size: 15, colour: outcomeInks[verdict] }
  const wordWidth = pen.width(text, word)
  const lines = because === '' ? [] : linesOf(flow, because, styles.plain, width - wordWidth - 36)
  const height = Math.max(pen.lineHeight(word.size), lines.length * pen.lineHeight(styles.plain.size)) + 12
  // A reason of pages stands below the box instead.
  const below = height > (flow.bottom - flow.top) / 3
  const boxed = below ? pen.lineHeight(word.size) + 12 : height
  flow.need(boxed)
  pen.tags.apart(() => { pen.pdf.lineWidth(1.2).strokeColor(word.colour).rect(left, flow.y, width, boxed).stroke() })
  pen.tags.mark(pen.tags.open('P'), () => {
    pen.write(`${text} `, left + 10, flow.y + 6, word)
    if (!below) for (const [index, line] of spaced(lines).entries()) pen.write(line, left + wordWidth + 26, flow.y + 8 + index * pen.lineHeight(styles.plain.size), styles.plain)
  })
  flow.y += boxed + 9
  if (below) writeParagraph(flow, because, styles.plain, 6)
}

const drawSeal = (flow: Flow, { code, rows }: Extract<Block, { kind: 'seal' }>): void => {
  const { left, width } = sealText(flow)
  flow.need(Math.max(sealSide, factsHeight(flow, rows, width)))
  const top = flow.y
  const { pdf, tags } = flow.pen
  tags.mark(tags.open('Figure', { alt: `QR code: ${code}` }), () => { drawQr(pdf, code, flow.left, top, sealSide) })
  drawFacts(flow, rows, 1, left, width)
  flow.y = Math.max(flow.y, top + sealSide) + 6
}

const drawHeading = (flow: Flow, text: string, next: Block | undefined): void => {
  const lines = linesOf(flow, text, styles.heading)
  const high = flow.pen.lineHeight(styles.heading.size)
  if (flow.y > flow.top) flow.y += 6
  flow.need(lines.length * high + 3 + least(flow, next))
  writeParagraph(flow, text, styles.heading, 3, 'H2')
}

export const drawBlocks = (flow: Flow, blocks: readonly Block[], pictures: BoardPictures): void => {
  for (const [index, block] of blocks.entries()) {
    switch (block.kind) {
      case 'title':
        writeParagraph(flow, block.text, styles.title, 1, 'H1')
        writeParagraph(flow, block.under, styles.under, 8)
        break
      case 'heading': drawHeading(flow, block.text, blocks[index + 1]); break
      case 'text': writeParagraph(flow, block.text, styles[block.tone], 4); break
      case 'outcome': drawOutcome(flow, block); break
      case 'facts':
        drawFacts(flow, block.rows, block.columns)
        flow.y += 4
        break
      case 'table': drawTable(flow, block); break
      case 'board': drawBoard(flow, block, pictures); break
      case 'seal': drawSeal(flow, block); break
    }
  }
}
