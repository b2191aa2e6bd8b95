/** How a shape of a drawing is filled and lined: its own attributes over those of the groups around it. */
import { CannotDraw, type Element } from './read-xml'

export type Stop = { at: number; colour: string; opacity: number }
/** Places as shares of the shape's box. */
export type Gradient = { kind: 'linear'; x1: number; y1: number; x2: number; y2: number; stops: Stop[] } | { kind: 'radial'; cx: number; cy: number; r: number; stops: Stop[] }
/** `pattern`: decoration, which is left out. */
export type Ink = string | Gradient | 'none' | 'pattern'

export type Paint = {
  fill: Ink; stroke: Ink; width: number; cap: 'butt' | 'round' | 'square'; join: 'miter' | 'round' | 'bevel'; dash: number[]; rule: 'nonzero' | 'evenodd'
  opacity: number; fillOpacity: number; strokeOpacity: number
  size: number; strong: boolean; anchor: 'start' | 'middle' | 'end'
}
export const plainPaint: Paint = {
  fill: '#000000', stroke: 'none', width: 1, cap: 'butt', join: 'miter', dash: [], rule: 'nonzero', opacity: 1, fillOpacity: 1, strokeOpacity: 1,
  size: 16, strong: false, anchor: 'start',
}

export const numberIn = (text: string, about: string): number => {
  const value = Number(text.trim().replace(/px$/, ''))
  if (text.trim() === '' || !Number.isFinite(value)) throw new CannotDraw(`has ${about} “${text}”, which is no plain number`)
  return value
}

const share = (text: string, about: string): number => (text.trim().endsWith('%') ? numberIn(text.trim().slice(0, -1), about) / 100 : numberIn(text, about))

const names: Record<string, string> = { white: '#ffffff', black: '#000000', red: '#ff0000', green: '#008000', blue: '#0000ff', yellow: '#ffff00', gold: '#ffd700', silver: '#c0c0c0', gray: '#808080', grey: '#808080', orange: '#ffa500', navy: '#000080', maroon: '#800000', purple: '#800080', teal: '#008080' }

const colourIn = (text: string): string => {
  const plain = text.trim().toLowerCase()
  const short = /^#([0-9a-f])([0-9a-f])([0-9a-f])$/.exec(plain)
  if (short !== null) return `#${short.slice(1).map((digit) => digit + digit).join('')}`
  const colour = /^#[0-9a-f]{6}$/.test(plain) ? plain : names[plain]
  if (colour === undefined) throw new CannotDraw(`has the colour “${text}”; write it as #rrggbb`)
  return colour
}

const stopsIn = (element: Element): Stop[] => element.children.flatMap((child): Stop[] => {
  if (typeof child === 'string') return []
  if (child.name !== 'stop') throw new CannotDraw(`has <${child.name}> in a gradient`)
  const { offset = '0', 'stop-color': colour = '#000000', 'stop-opacity': opacity = '1' } = child.attributes
  return [{ at: share(offset, 'offset'), colour: colourIn(colour), opacity: share(opacity, 'stop-opacity') }]
})

const gradientIn = (element: Element): Gradient => {
  const { attributes: a } = element
  if (a.gradientUnits !== undefined && a.gradientUnits !== 'objectBoundingBox') throw new CannotDraw('has a gradient in user space')
  if (a.gradientTransform !== undefined || Object.keys(a).some((name) => name.endsWith('href'))) throw new CannotDraw('has a gradient with a transform or a reference')
  const stops = stopsIn(element)
  if (stops.length < 2) throw new CannotDraw('has a gradient with fewer than two stops')
  return element.name === 'linearGradient'
    ? { kind: 'linear', x1: share(a.x1 ?? '0', 'x1'), y1: share(a.y1 ?? '0', 'y1'), x2: share(a.x2 ?? '1', 'x2'), y2: share(a.y2 ?? '0', 'y2'), stops }
    : { kind: 'radial', cx: share(a.cx ?? '0.5', 'cx'), cy: share(a.cy ?? '0.5', 'cy'), r: share(a.r ?? '0.5', 'r'), stops }
}

export type Inks = Map<string, Gradient | 'pattern'>

/** What <defs> names. @throws CannotDraw for anything but gradients and patterns. */
export const inksIn = (defs: Element): [string, Gradient | 'pattern'][] => defs.children.flatMap((child): [string, Gradient | 'pattern'][] => {
  if (typeof child === 'string') return []
  const { id = '' } = child.attributes
  switch (child.name) {
    case 'linearGradient': case 'radialGradient': return [[id, gradientIn(child)]]
    case 'pattern': return [[id, 'pattern']]
    default: throw new CannotDraw(`has <${child.name}> in <defs>`)
  }
})

const inkIn = (text: string, inks: Inks): Ink => {
  if (text.trim() === 'none' || text.trim() === 'transparent') return 'none'
  const named = /^url\(\s*["']?#([^"')]+)["']?\s*\)$/.exec(text.trim())
  if (named === null) return colourIn(text)
  const ink = inks.get(named[1] ?? '')
  if (ink === undefined) throw new CannotDraw(`is filled with “${text}”, which it does not define before`)
  return ink
}

const oneOf = <T extends string>(text: string, about: string, all: readonly T[]): T => {
  const found = all.find((each) => each === text)
  if (found === undefined) throw new CannotDraw(`has ${about} “${text}”`)
  return found
}

const dashIn = (text: string): number[] => (text === 'none' ? [] : text.trim().split(/[\s,]+/).map((each) => numberIn(each, 'stroke-dasharray')))
const isStrong = (text: string): boolean => text === 'bold' || text === 'bolder' || (text !== 'normal' && numberIn(text, 'font-weight') >= 550)

/** Attributes that change nothing here, whatever they say. */
const idle = /^(id|class|role|xmlns(:.*)?|version|aria-.*|data-.*|font-family|font-style|letter-spacing|xml:space|pointer-events|shape-rendering|text-rendering|preserveAspectRatio)$/

/** @param own attributes that belong to the shape itself. @throws CannotDraw for one that is not known. */
export const paintWith = (before: Paint, { name, attributes }: Element, inks: Inks, own: readonly string[]): Paint => {
  const paint: Paint = { ...before }
  for (const [key, text] of Object.entries(attributes)) {
    switch (key) {
      case 'fill': paint.fill = inkIn(text, inks); break
      case 'stroke': paint.stroke = inkIn(text, inks); break
      case 'stroke-width': paint.width = numberIn(text, key); break
      case 'stroke-linecap': paint.cap = oneOf(text, key, ['butt', 'round', 'square']); break
      case 'stroke-linejoin': paint.join = oneOf(text, key, ['miter', 'round', 'bevel']); break
      case 'stroke-dasharray': paint.dash = dashIn(text); break
      case 'fill-rule': paint.rule = oneOf(text, key, ['nonzero', 'evenodd']); break
      case 'opacity': paint.opacity = before.opacity * share(text, key); break
      case 'fill-opacity': paint.fillOpacity = share(text, key); break
      case 'stroke-opacity': paint.strokeOpacity = share(text, key); break
      case 'font-size': paint.size = numberIn(text, key); break
      case 'font-weight': paint.strong = isStrong(text); break
      case 'text-anchor': paint.anchor = oneOf(text, key, ['start', 'middle', 'end']); break
      default: if (!own.includes(key) && !idle.test(key)) throw new CannotDraw(`has the attribute ${key} at <${name}>`)
    }
  }
  return paint
}
