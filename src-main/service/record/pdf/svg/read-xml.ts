/** Reads the XML of a drawing into elements; whatever it does not know it refuses. No entities of its own, no document type. */

export type Element = { name: string; attributes: Record<string, string>; children: (Element | string)[] }

/** A picture that cannot be drawn here; the message follows “the picture”. */
export class CannotDraw extends Error {}

const entities: Record<string, string> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: '\'' }

const decoded = (text: string): string => text.replace(/&(#x?[0-9a-fA-F]+|\w+);/g, (whole, name: string) => {
  const known = entities[name]
  if (known !== undefined) return known
  const code = name.startsWith('#x') ? Number.parseInt(name.slice(2), 16) : name.startsWith('#') ? Number.parseInt(name.slice(1), 10) : NaN
  if (!(code > 0 && code <= 0x10ffff)) throw new CannotDraw(`uses ${whole}, which is no letter`)
  return String.fromCodePoint(code)
})

const token = /<!--[\s\S]*?-->|<\?[\s\S]*?\?>|<\/([\w:.-]+)\s*>|<([\w:.-]+)((?:\s+[\w:.-]+\s*=\s*(?:"[^"<]*"|'[^'<]*'))*)\s*(\/?)>|[^<]+/gy
const attribute = /([\w:.-]+)\s*=\s*(?:"([^"]*)"|'([^']*)')/g

const attributesIn = (text: string): Record<string, string> =>
  Object.fromEntries([...text.matchAll(attribute)].map(([, name = '', double, single]) => [name, decoded(double ?? single ?? '')]))

/** Deeper than any drawing. */
const deepest = 40

/** The root element. @throws CannotDraw */
export const readXml = (text: string): Element => {
  const root: Element = { name: '', attributes: {}, children: [] }
  const open: Element[] = [root]
  token.lastIndex = 0
  for (let at = 0; at < text.length; at = token.lastIndex) {
    const found = token.exec(text)
    if (found === null) throw new CannotDraw(`is no XML that is read here, from “${text.slice(at, at + 30).replace(/\s+/g, ' ')}” on`)
    const [whole, closes, opens, attributes = '', empty] = found
    const parent = open.at(-1) ?? root
    if (closes !== undefined) {
      if (open.length < 2 || parent.name !== closes) throw new CannotDraw(`closes </${closes}> where it is not open`)
      open.pop()
    } else if (opens !== undefined) {
      const element: Element = { name: opens, attributes: attributesIn(attributes), children: [] }
      parent.children.push(element)
      if (empty === '') open.push(element)
      if (open.length > deepest) throw new CannotDraw(`is nested more than ${deepest} deep`)
    } else if (!whole.startsWith('<')) {
      parent.children.push(decoded(whole))
    }
  }
  const elements = root.children.filter((each): each is Element => typeof each !== 'string')
  const [only] = elements
  if (open.length > 1 || only === undefined || elements.length > 1) throw new CannotDraw('is not one whole XML element')
  return only
}
