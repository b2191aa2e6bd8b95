/** The board's picture with the placements marked; where it cannot be drawn, its outline with the test points, and why. */
import type { Block } from '../../../../src-core/record/print/block'
import type { Flow } from './paper'
import { inks, type Style } from './pen'
import { placeLabels } from './place-labels'
import { drawDrawing } from './svg/draw'
import { CannotDraw } from './svg/read-xml'
import { readDrawing, type Box } from './svg/shapes'
import { writeTagged } from './tagged-lines'
import { wrapped } from './wrap'

type Board = Extract<Block, { kind: 'board' }>

/** Pictures by the SHA-256 that a record names. */
export type BoardPictures = ReadonlyMap<string, Uint8Array>

const tallest = 300
const why: Style = { face: 'regular', size: 7.4, colour: inks.doubt }
const radius = 3.6

const scaled = ({ width }: Flow, { picture }: Board): { width: number; height: number; scale: number } => {
  const { width: wide, height: high } = picture ?? { width: 1, height: 1 }
  const scale = Math.min(width / wide, tallest / high)
  return { width: wide * scale, height: high * scale, scale }
}

const png = Buffer.from('89504e470d0a1a0a', 'hex')
const isPng = (bytes: Buffer): boolean => bytes.subarray(0, 8).equals(png)
const isJpeg = (bytes: Buffer): boolean => bytes[0] === 0xff && bytes[1] === 0xd8

/** Its pixels would be packed anew, and not alike on every machine: W3C PNG, 11.2.1, colour types 4 and 6, and interlace. */
const isPlainPng = (bytes: Buffer): boolean => ![4, 6].includes(bytes[25] ?? 0) && bytes[28] === 0 && !bytes.includes('tRNS')

/** @returns where words stand in it, as far as that is known. @throws CannotDraw */
const drawPicture = (flow: Flow, bytes: Buffer, into: Box): Box[] => {
  if (!isPng(bytes) && !isJpeg(bytes)) {
    return drawDrawing(flow.pen, readDrawing(new TextDecoder('utf-8').decode(bytes)), into)
  }
  if (isPng(bytes) && !isPlainPng(bytes)) throw new CannotDraw('is a PNG with transparency or interlace; save it without, or as JPEG')
  try {
    flow.pen.pdf.image(bytes, into.x, into.y, { fit: [into.width, into.height], align: 'center', valign: 'center' })
    return []
  } catch (error) {
    throw new CannotDraw(`cannot be read (${error instanceof Error ? error.message : String(error)})`)
  }
}

/** `why` it was not drawn, as a sentence. */
const drawnOrWhy = (flow: Flow, { picture }: Board, pictures: BoardPictures, into: Box): { words: Box[]; why: string | null } => {
  const not = (reason: string): { words: Box[]; why: string } => ({ words: [], why: flow.pen.printable(`${reason} ${outline}`, why.face) })
  const outline = 'Its outline stands here with the test points.'
  if (picture === null || picture.sha256 === null) return not('No picture of the board was kept with this record.')
  const bytes = pictures.get(picture.sha256)
  if (bytes === undefined) return not(`The board’s picture (SHA-256 ${picture.sha256.slice(0, 16)}…) was not at hand when these pages were made.`)
  try {
    return { words: drawPicture(flow, Buffer.from(bytes), into), why: null }
  } catch (error) {
    if (!(error instanceof CannotDraw)) throw error
    return not(`The board’s picture could not be drawn: it ${error.message}.`)
  }
}

const label: Style = { face: 'strong', size: 6.4, colour: inks.text }

const drawMarks = (flow: Flow, { marks }: Board, into: Box, scale: number, words: readonly Box[]): string[] => {
  const { pen } = flow
  const { pdf } = pen
  const spots = marks.map(({ x, y }) => ({ x: into.x + x * scale, y: into.y + y * scale }))
  const sizes = marks.map((mark) => ({ width: pen.width(mark.label, label) + 4, height: label.size + 2.6 }))
  const labels = placeLabels(spots, sizes, radius, into, words)
  for (const [index, { x, y }] of spots.entries()) {
    const line = labels[index]?.line
    if (line) pdf.lineWidth(1.6).strokeColor('#ffffff').moveTo(x, y).lineTo(line.x, line.y).stroke().lineWidth(0.7).strokeColor(inks.text).moveTo(x, y).lineTo(line.x, line.y).stroke()
  }
  for (const [index, { x, y }] of spots.entries()) {
    const { on } = marks[index] ?? { on: 'both' }
    pdf.circle(x, y, radius + 0.9).fill('#ffffff')
    if (on !== 'black') pdf.lineWidth(1.3).strokeColor(inks.red).circle(x, y, radius - 0.4).stroke()
    if (on !== 'red') pdf.circle(x, y, on === 'both' ? radius - 1.9 : radius - 0.4).fill(inks.text)
  }
  for (const [index, place] of labels.entries()) {
    const mark = marks[index]
    if (place === null || mark === undefined) continue
    pdf.lineWidth(0.4).roundedRect(place.x, place.y, place.width, place.height, 1.5).fillAndStroke('#ffffff', inks.text)
    pen.write(mark.label, place.x + 2, place.y + 0.9, label)
  }
  return marks.filter((_, index) => labels[index] === null).map((mark) => mark.label)
}

const leadOn = { red: 'red', black: 'black', both: 'red and black' } as const

/** For who does not see the picture. */
const altOf = ({ name, marks }: Board): string =>
  `The board${name === null ? '' : ` on its picture “${name}”`}, with the test points that were measured at: ${marks.map(({ label: point, on }) => `${point} (${leadOn[on]})`).join(', ')}.`

export const boardHeight = (flow: Flow, board: Board): number => scaled(flow, board).height + 2 * flow.pen.lineHeight(why.size) + 8

export const drawBoard = (flow: Flow, board: Board, pictures: BoardPictures): void => {
  const { pen } = flow
  flow.need(boardHeight(flow, board))
  const { width, height, scale } = scaled(flow, board)
  const into: Box = { x: flow.left + (flow.width - width) / 2, y: flow.y, width, height }
  const said: string[] = []
  pen.tags.mark(pen.tags.open('Figure', { alt: altOf(board) }), () => {
    const { words, why: reason } = drawnOrWhy(flow, board, pictures, into)
    pen.pdf.lineWidth(0.6).strokeColor(inks.line).rect(into.x, into.y, width, height).stroke()
    const unlabelled = drawMarks(flow, board, into, scale, words)
    said.push(...(reason === null ? [] : [reason]), ...(unlabelled.length === 0 ? [] : [`No room was left on the picture for the names of ${unlabelled.join(', ')}.`]))
  })
  flow.y += height + 5
  const lines = said.flatMap((sentence) => wrapped(sentence, flow.width, (each) => pen.width(each, why)))
  if (lines.length > 0) writeTagged(flow, lines, why, 'P')
}
