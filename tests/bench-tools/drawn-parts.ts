/** What a sample board's picture draws of each part: the box around the shapes of the group that bears its reference designator, in picture units. */
export type Outline = { left: number; top: number; right: number; bottom: number }

const attributesOf = (text: string): Map<string, string> => new Map([...text.matchAll(/([\w-]+)="([^"]*)"/g)].map(([, key = '', value = '']) => [key, value]))

/** The corners that an absolute path goes through; an arc or a curve counts by its ends, which the shape that it shades reaches beyond. */
const cornersOf = (path: string): { x: number; y: number }[] => {
  let at = { x: 0, y: 0 }
  return [...path.matchAll(/([A-Z])([^A-Z]*)/g)].flatMap(([, command = '', text = '']) => {
    const figures = (text.match(/-?[\d.]+/g) ?? []).map(Number)
    if (command === 'Z') return []
    if (!'MLHVAC'.includes(command)) throw new Error(`The path ${path} has ${command}, which drawn-parts.ts does not read. Teach it, or draw the part otherwise.`)
    const each = command === 'H' || command === 'V' ? 1 : command === 'A' ? 7 : command === 'C' ? 6 : 2
    return Array.from({ length: figures.length / each }, (_, which) => {
      const own = figures.slice(which * each, (which + 1) * each)
      at = { x: command === 'V' ? at.x : own.at(command === 'H' ? 0 : -2) ?? NaN, y: command === 'H' ? at.y : own.at(-1) ?? NaN }
      return at
    })
  })
}

const boxOf = (shape: string, attributes: Map<string, string>): Outline[] => {
  const of = (key: string): number => Number(attributes.get(key) ?? NaN)
  const round = (x: number, y: number): Outline => ({ left: of('cx') - x, right: of('cx') + x, top: of('cy') - y, bottom: of('cy') + y })
  switch (shape) {
    case 'rect': return [{ left: of('x'), top: of('y'), right: of('x') + of('width'), bottom: of('y') + of('height') }]
    case 'circle': return [round(of('r'), of('r'))]
    case 'ellipse': return [round(of('rx'), of('ry'))]
    default: {
      // Turned about its own middle it is a sign on the body, within it.
      const corners = attributes.has('transform') ? [] : cornersOf(attributes.get('d') ?? '')
      const [xs, ys] = [corners.map(({ x }) => x), corners.map(({ y }) => y)]
      return corners.length === 0 ? [] : [{ left: Math.min(...xs), top: Math.min(...ys), right: Math.max(...xs), bottom: Math.max(...ys) }]
    }
  }
}

/** @param svg with one group a part, not drawn moved. @returns null: nothing there bears this reference designator. */
export const outlineOf = (svg: string, ref: string): Outline | null => {
  const start = svg.indexOf(`<g id="${ref}">`)
  if (start < 0) return null
  let [depth, end] = [0, start]
  for (const tag of svg.slice(start).matchAll(/<g\b|<\/g>/g)) {
    depth += tag[0] === '</g>' ? -1 : 1
    if (depth === 0) { end = start + tag.index; break }
  }
  const boxes = [...svg.slice(start, end).matchAll(/<(rect|circle|ellipse|path)\b([^>]*)>/g)].flatMap(([, shape = '', text = '']) => boxOf(shape, attributesOf(text)))
  if (boxes.length === 0) return null
  return { left: Math.min(...boxes.map(({ left }) => left)), top: Math.min(...boxes.map(({ top }) => top)), right: Math.max(...boxes.map(({ right }) => right)), bottom: Math.max(...boxes.map(({ bottom }) => bottom)) }
}

export const areaOf = ({ left, top, right, bottom }: Outline): number => (right - left) * (bottom - top)
export const holds = ({ left, top, right, bottom }: Outline, { x, y }: { x: number; y: number }): boolean => x > left && x < right && y > top && y < bottom
