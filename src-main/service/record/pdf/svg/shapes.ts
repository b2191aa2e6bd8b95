/** The shapes of a drawing, read from its elements; the subset of SVG that board pictures are drawn in, and nothing besides. */
import { inksIn, numberIn, paintWith, plainPaint, type Inks, type Paint } from './paint'
import { CannotDraw, readXml, type Element } from './read-xml'

export type Box = { x: number; y: number; width: number; height: number }
export type Geometry =
  | { kind: 'rect'; box: Box; radius: number }
  | { kind: 'ellipse'; cx: number; cy: number; rx: number; ry: number }
  | { kind: 'path'; d: string }
  | { kind: 'text'; x: number; y: number; words: string }
/** Six figures as SVG's matrix() has them. */
export type Matrix = readonly [number, number, number, number, number, number]
export type Shape = { kind: 'group'; matrices: Matrix[]; shapes: Shape[] } | { kind: 'shape'; matrices: Matrix[]; paint: Paint; is: Geometry }

export type Drawing = { view: Box; shapes: Shape[] }

const matrixOf = (name: string, figures: readonly number[]): Matrix[] => {
  const [a = 0, b, c] = figures
  const turn = (a * Math.PI) / 180
  switch (name) {
    case 'translate': return [[1, 0, 0, 1, a, b ?? 0]]
    case 'scale': return [[a, 0, 0, b ?? a, 0, 0]]
    case 'rotate': {
      const turned: Matrix = [Math.cos(turn), Math.sin(turn), -Math.sin(turn), Math.cos(turn), 0, 0]
      return b === undefined ? [turned] : [[1, 0, 0, 1, b, c ?? 0], turned, [1, 0, 0, 1, -b, -(c ?? 0)]]
    }
    case 'matrix': {
      const [m0, m1, m2, m3, m4, m5] = figures
      if (m0 === undefined || m1 === undefined || m2 === undefined || m3 === undefined || m4 === undefined || m5 === undefined) throw new CannotDraw('has a matrix of fewer than six figures')
      return [[m0, m1, m2, m3, m4, m5]]
    }
    default: throw new CannotDraw(`has the transform ${name}`)
  }
}

const matricesIn = (text: string): Matrix[] => {
  if (text.replace(/\w+\s*\([^)]*\)/g, '').replace(/[\s,]/g, '') !== '') throw new CannotDraw(`has the transform “${text}”`)
  return [...text.matchAll(/(\w+)\s*\(([^)]*)\)/g)].flatMap(([, name = '', figures = '']) => matrixOf(name, figures.trim().split(/[\s,]+/).map((each) => numberIn(each, 'transform'))))
}

const onlyPath = /^[MmLlHhVvCcSsQqTtAaZz0-9eE+\-.,\s]*$/
const pointsIn = (text: string): string => text.trim().split(/[\s,]+/).map((each) => numberIn(each, 'points')).join(' ')

const own: Record<string, readonly string[]> = {
  rect: ['x', 'y', 'width', 'height', 'rx', 'ry'], circle: ['cx', 'cy', 'r'], ellipse: ['cx', 'cy', 'rx', 'ry'], line: ['x1', 'y1', 'x2', 'y2'],
  polyline: ['points'], polygon: ['points'], path: ['d'], text: ['x', 'y'],
}

const geometryOf = ({ name, attributes: a, children }: Element): Geometry => {
  const at = (key: string): number => numberIn(a[key] ?? '0', key)
  switch (name) {
    case 'rect': return { kind: 'rect', box: { x: at('x'), y: at('y'), width: at('width'), height: at('height') }, radius: numberIn(a.rx ?? a.ry ?? '0', 'rx') }
    case 'circle': return { kind: 'ellipse', cx: at('cx'), cy: at('cy'), rx: at('r'), ry: at('r') }
    case 'ellipse': return { kind: 'ellipse', cx: at('cx'), cy: at('cy'), rx: at('rx'), ry: at('ry') }
    case 'line': return { kind: 'path', d: `M${at('x1')} ${at('y1')}L${at('x2')} ${at('y2')}` }
    case 'polyline': return { kind: 'path', d: `M${pointsIn(a.points ?? '')}` }
    case 'polygon': return { kind: 'path', d: `M${pointsIn(a.points ?? '')}Z` }
    case 'text': {
      if (children.some((child) => typeof child !== 'string')) throw new CannotDraw('has a text with elements in it')
      return { kind: 'text', x: at('x'), y: at('y'), words: children.join('').replace(/\s+/g, ' ').trim() }
    }
    default: {
      const d = a.d ?? ''
      if (!onlyPath.test(d)) throw new CannotDraw(`has a path “${d.slice(0, 30)}”`)
      return { kind: 'path', d }
    }
  }
}

const shapesIn = (elements: Element['children'], paint: Paint, inks: Inks): Shape[] => elements.flatMap((element): Shape[] => {
  if (typeof element === 'string') {
    if (element.trim() !== '') throw new CannotDraw(`has loose text “${element.trim().slice(0, 20)}”`)
    return []
  }
  const matrices = matricesIn(element.attributes.transform ?? '')
  switch (element.name) {
    case 'title': case 'desc': case 'metadata': return []
    case 'defs':
      for (const [id, ink] of inksIn(element)) inks.set(id, ink)
      return []
    case 'g': return [{ kind: 'group', matrices, shapes: shapesIn(element.children, paintWith(paint, element, inks, ['transform']), inks) }]
    default: {
      const attributes = own[element.name]
      if (attributes === undefined) throw new CannotDraw(`has <${element.name}>`)
      return [{ kind: 'shape', matrices, paint: paintWith(paint, element, inks, [...attributes, 'transform']), is: geometryOf(element) }]
    }
  }
})

const viewOf = ({ attributes: { viewBox, width, height } }: Element): Box => {
  const figures = viewBox?.trim().split(/[\s,]+/).map((each) => numberIn(each, 'viewBox')) ?? [0, 0, numberIn(width ?? '', 'width'), numberIn(height ?? '', 'height')]
  const [x = 0, y = 0, wide = 0, high = 0] = figures
  if (!(wide > 0 && high > 0)) throw new CannotDraw('has no width and height')
  return { x, y, width: wide, height: high }
}

/** @throws CannotDraw for what lies outside the subset. */
export const readDrawing = (text: string): Drawing => {
  const root = readXml(text.replace(/^\ufeff/, ''))
  if (root.name !== 'svg') throw new CannotDraw(`is <${root.name}>, no SVG`)
  const inks: Inks = new Map()
  const paint = paintWith(plainPaint, root, inks, ['viewBox', 'width', 'height'])
  return { view: viewOf(root), shapes: shapesIn(root.children, paint, inks) }
}
