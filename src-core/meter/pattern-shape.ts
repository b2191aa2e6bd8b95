/** The shape of a pattern (a regular expression that already compiles): its groups, repetitions and alternatives. */

export type Shape =
  /** One character; `source` is how the pattern writes it. */
  | { kind: 'character'; source: string }
  /** ^ $ \b \B: takes no character. */
  | { kind: 'edge'; source: string }
  | { kind: 'sequence'; items: Shape[] }
  | { kind: 'choice'; options: Shape[] }
  | { kind: 'group'; name: string | null; body: Shape; source: string }
  | { kind: 'repeat'; body: Shape; least: number; most: number }

export type ShapeResult = { shape: Shape } | { refused: string }

type Cursor = { readonly pattern: string; at: number; refused: string | null }

const characterClass = (cursor: Cursor): string => {
  const from = cursor.at
  cursor.at += 1
  while (cursor.at < cursor.pattern.length && cursor.pattern[cursor.at] !== ']') cursor.at += cursor.pattern[cursor.at] === '\\' ? 2 : 1
  cursor.at += 1
  return cursor.pattern.slice(from, cursor.at)
}

const escape = (cursor: Cursor): Shape => {
  const rest = cursor.pattern.slice(cursor.at)
  if (/^\\([1-9]|k<)/.test(rest)) cursor.refused = 'it refers back to an earlier group'
  const source = /^\\(x[0-9a-fA-F]{2}|u[0-9a-fA-F]{4}|c[A-Za-z]|[^])/.exec(rest)?.[0] ?? rest.slice(0, 2)
  cursor.at += source.length
  return source === '\\b' || source === '\\B' ? { kind: 'edge', source } : { kind: 'character', source }
}

const group = (cursor: Cursor): Shape => {
  const head = /^\((\?:|\?<([A-Za-z_$][\w$]*)>|\?<?[=!]|\?)?/.exec(cursor.pattern.slice(cursor.at))
  const opening = head?.[0] ?? '('
  if (/^\(\?<?[=!]$/.test(opening)) cursor.refused = 'it looks ahead or behind'
  else if (opening === '(?') cursor.refused = 'it changes flags within itself'
  cursor.at += opening.length
  const from = cursor.at
  const body = choice(cursor)
  const source = cursor.pattern.slice(from, cursor.at)
  cursor.at += 1
  return { kind: 'group', name: head?.[2] ?? null, body, source }
}

const atom = (cursor: Cursor): Shape => {
  const sign = cursor.pattern[cursor.at] ?? ''
  if (sign === '(') return group(cursor)
  if (sign === '[') return { kind: 'character', source: characterClass(cursor) }
  if (sign === '\\') return escape(cursor)
  cursor.at += 1
  if (sign === '^' || sign === '$') return { kind: 'edge', source: sign }
  return { kind: 'character', source: sign === '{' || sign === '}' || sign === ']' ? `\\${sign}` : sign }
}

const repeated = (cursor: Cursor): Shape => {
  const body = atom(cursor)
  const found = /^(?:([*+?])|\{(\d+)(?:(,)(\d*))?\})\??/.exec(cursor.pattern.slice(cursor.at))
  if (found === null) return body
  cursor.at += found[0].length
  const [, sign, least, comma, most] = found
  if (sign !== undefined) return { kind: 'repeat', body, least: sign === '+' ? 1 : 0, most: sign === '?' ? 1 : Infinity }
  const from = Number(least)
  const upTo = most === undefined || most === '' ? Infinity : Number(most)
  return { kind: 'repeat', body, least: from, most: comma === undefined ? from : upTo }
}

const choice = (cursor: Cursor): Shape => {
  const options: Shape[] = []
  let items: Shape[] = []
  while (cursor.at < cursor.pattern.length && cursor.pattern[cursor.at] !== ')') {
    if (cursor.pattern[cursor.at] === '|') {
      options.push({ kind: 'sequence', items })
      items = []
      cursor.at += 1
    } else {
      items.push(repeated(cursor))
    }
  }
  options.push({ kind: 'sequence', items })
  const [only, ...others] = options
  return only !== undefined && others.length === 0 ? only : { kind: 'choice', options }
}

/** Refused, with what is not taken here: looking ahead or behind, referring back. The pattern must compile as a RegExp without flags. */
export const patternShape = (pattern: string): ShapeResult => {
  const cursor: Cursor = { pattern, at: 0, refused: null }
  const shape = choice(cursor)
  return cursor.refused === null ? { shape } : { refused: cursor.refused }
}

/** Every group with a name, and how the pattern writes what stands in it. */
export const namedGroups = (shape: Shape): Map<string, string> => {
  const found = new Map<string, string>()
  const visit = (node: Shape): void => {
    switch (node.kind) {
      case 'character': case 'edge': return
      case 'sequence': node.items.forEach(visit); return
      case 'choice': node.options.forEach(visit); return
      case 'repeat': visit(node.body); return
      case 'group':
        if (node.name !== null) found.set(node.name, node.source)
        visit(node.body)
    }
  }
  visit(shape)
  return found
}
