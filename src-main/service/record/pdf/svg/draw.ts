/** Draws the shapes of a drawing into a PDF as lines and areas, not as pixels. */
import { CannotPrint, type Pdf, type Pen } from '../pen'
import type { Gradient, Ink, Paint } from './paint'
import { CannotDraw } from './read-xml'
import type { Box, Drawing, Geometry, Shape } from './shapes'

/** Of a path the box is not reckoned: its gradient is drawn as one colour between its stops. */
const boxOf = (is: Geometry): Box | null => {
  switch (is.kind) {
    case 'rect': return is.box
    case 'ellipse': return { x: is.cx - is.rx, y: is.cy - is.ry, width: 2 * is.rx, height: 2 * is.ry }
    default: return null
  }
}

const hex = (value: number): string => Math.round(value).toString(16).padStart(2, '0')
const meanColour = ({ stops }: Gradient): string => `#${[1, 3, 5].map((at) => hex(stops.reduce((sum, { colour }) => sum + Number.parseInt(colour.slice(at, at + 2), 16), 0) / stops.length)).join('')}`

const gradientOver = (pdf: Pdf, gradient: Gradient, { x, y, width, height }: Box): PDFKit.PDFGradient => {
  const made = gradient.kind === 'linear'
    ? pdf.linearGradient(x + gradient.x1 * width, y + gradient.y1 * height, x + gradient.x2 * width, y + gradient.y2 * height)
    : pdf.radialGradient(x + gradient.cx * width, y + gradient.cy * height, 0, x + gradient.cx * width, y + gradient.cy * height, gradient.r * Math.max(width, height))
  for (const { at, colour, opacity } of gradient.stops) made.stop(at, colour, opacity)
  return made
}

/** Null: nothing to lay down. */
const inkFor = (pdf: Pdf, ink: Ink, box: Box | null): string | PDFKit.PDFGradient | null =>
  (ink === 'none' || ink === 'pattern' ? null : typeof ink === 'string' ? ink : box === null ? meanColour(ink) : gradientOver(pdf, ink, box))

const trace = (pdf: Pdf, is: Exclude<Geometry, { kind: 'text' }>): void => {
  switch (is.kind) {
    case 'rect': {
      const { x, y, width, height } = is.box
      const radius = Math.min(is.radius, width / 2, height / 2)
      if (radius > 0) pdf.roundedRect(x, y, width, height, radius)
      else pdf.rect(x, y, width, height)
      return
    }
    case 'ellipse': pdf.ellipse(is.cx, is.cy, is.rx, is.ry); return
    case 'path': pdf.path(is.d)
  }
}

const isEmpty = (is: Geometry): boolean => (is.kind === 'rect' ? !(is.box.width > 0 && is.box.height > 0) : is.kind === 'ellipse' ? !(is.rx > 0 && is.ry > 0) : is.kind === 'path' ? is.d.trim() === '' : is.words === '')

const drawArea = (pdf: Pdf, paint: Paint, is: Exclude<Geometry, { kind: 'text' }>): void => {
  const box = boxOf(is)
  const fill = inkFor(pdf, paint.fill, box)
  const stroke = paint.width > 0 ? inkFor(pdf, paint.stroke, box) : null
  if (fill !== null) {
    trace(pdf, is)
    pdf.fillOpacity(paint.opacity * paint.fillOpacity).fillColor(fill, paint.opacity * paint.fillOpacity).fill(paint.rule === 'evenodd' ? 'even-odd' : 'non-zero')
  }
  if (stroke !== null) {
    trace(pdf, is)
    pdf.lineWidth(paint.width).lineCap(paint.cap).lineJoin(paint.join)
    const [dash, space] = paint.dash
    if (dash === undefined) pdf.undash()
    else pdf.dash(dash, { space: space ?? dash })
    pdf.strokeColor(stroke, paint.opacity * paint.strokeOpacity).stroke()
    pdf.undash()
  }
}

const drawWords = (pen: Pen, paint: Paint, { x, y, words }: Extract<Geometry, { kind: 'text' }>): void => {
  const ink = paint.fill
  if (ink === 'none' || ink === 'pattern') return
  const style = { face: paint.strong ? 'strong' : 'regular', size: paint.size, colour: typeof ink === 'string' ? ink : meanColour(ink) } as const
  const before = paint.anchor === 'start' ? 0 : pen.width(words, style) * (paint.anchor === 'middle' ? 0.5 : 1)
  pen.pdf.fillOpacity(paint.opacity * paint.fillOpacity)
  pen.writeOn(words, x - before, y, style)
  pen.pdf.fillOpacity(1)
}

const drawShapes = (pen: Pen, shapes: readonly Shape[]): void => {
  const { pdf } = pen
  for (const shape of shapes) {
    const inner = (): void => {
      if (shape.kind === 'group') drawShapes(pen, shape.shapes)
      else if (!isEmpty(shape.is)) {
        if (shape.is.kind === 'text') drawWords(pen, shape.paint, shape.is)
        else drawArea(pdf, shape.paint, shape.is)
      }
    }
    if (shape.matrices.length === 0) {
      inner()
      continue
    }
    pdf.save()
    for (const [a, b, c, d, e, f] of shape.matrices) pdf.transform(a, b, c, d, e, f)
    inner()
    pdf.restore()
  }
}

/** Every text of the drawing can be written. @throws CannotDraw */
const checkWords = (pen: Pen, shapes: readonly Shape[]): void => {
  for (const shape of shapes) {
    if (shape.kind === 'group') checkWords(pen, shape.shapes)
    else if (shape.is.kind === 'text') {
      try {
        pen.width(shape.is.words, { face: shape.paint.strong ? 'strong' : 'regular', size: shape.paint.size, colour: '#000000' })
      } catch (error) {
        if (!(error instanceof CannotPrint)) throw error
        throw new CannotDraw(`has the text “${shape.is.words}”, for which the typeface of the PDF lacks a glyph`)
      }
    }
  }
}

/** Boxes of the texts that no transform moves, in the drawing's own units. */
const wordsIn = (pen: Pen, shapes: readonly Shape[]): Box[] => shapes.flatMap((shape): Box[] => {
  if (shape.matrices.length > 0) return []
  if (shape.kind === 'group') return wordsIn(pen, shape.shapes)
  if (shape.is.kind !== 'text') return []
  const { paint: { size, strong, anchor }, is: { x, y, words } } = shape
  const width = pen.width(words, { face: strong ? 'strong' : 'regular', size, colour: '#000000' })
  return [{ x: x - (anchor === 'start' ? 0 : anchor === 'middle' ? width / 2 : width), y: y - size * 0.75, width, height: size * 0.95 }]
})

/** Into a box of the page, whole. @returns where its words stand on the page. @throws CannotDraw before anything is drawn. */
export const drawDrawing = (pen: Pen, { view, shapes }: Drawing, into: Box): Box[] => {
  checkWords(pen, shapes)
  const { pdf } = pen
  const scale = Math.min(into.width / view.width, into.height / view.height)
  pdf.save()
  pdf.rect(into.x, into.y, into.width, into.height).clip()
  const [left, top] = [into.x + (into.width - scale * view.width) / 2, into.y + (into.height - scale * view.height) / 2]
  pdf.translate(left, top).scale(scale).translate(-view.x, -view.y)
  drawShapes(pen, shapes)
  pdf.restore()
  return wordsIn(pen, shapes).map(({ x, y, width, height }) => ({ x: left + (x - view.x) * scale, y: top + (y - view.y) * scale, width: width * scale, height: height * scale }))
}
