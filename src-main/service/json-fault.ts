/** Finds where a text stops being JSON (RFC 8259), by line and column: what the runtime says of it differs and may name no place. */

const token = /[ \t\n\r]*(?:([{}[\],:])|("(?:[ !\u0023-\u005b\u005d-\uffff]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*")|(-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?|true|false|null)(?![\w.+-]))/y

type Wanted = 'value' | 'value or ]' | 'name' | 'name or }' | ':' | ', or end' | 'nothing more'

/** Offset of the first character that fits nothing; the end of the text where something is missing. Null: it is JSON. */
export const jsonFaultAt = (text: string): number | null => {
  const open: ('{' | '[')[] = []
  let wanted: Wanted = 'value'
  let at = 0
  const after = (): Wanted => (open.length === 0 ? 'nothing more' : ', or end')
  for (;;) {
    token.lastIndex = at
    const found = token.exec(text)
    const start = at + (/^[ \t\n\r]*/.exec(text.slice(at))?.[0].length ?? 0)
    if (found === null) return start >= text.length && wanted === 'nothing more' ? null : start
    const [, sign, string] = found
    const value = wanted === 'value' || wanted === 'value or ]'
    if (sign === undefined) {
      if (value) wanted = after()
      else if (string !== undefined && (wanted === 'name' || wanted === 'name or }')) wanted = ':'
      else return start
    } else if (sign === '{' || sign === '[') {
      if (!value) return start
      open.push(sign)
      wanted = sign === '{' ? 'name or }' : 'value or ]'
    } else if (sign === '}' || sign === ']') {
      const fits = sign === '}' ? wanted === 'name or }' : wanted === 'value or ]'
      if (!fits && wanted !== ', or end') return start
      if (open.pop() !== (sign === '}' ? '{' : '[')) return start
      wanted = after()
    } else if (sign === ':') {
      if (wanted !== ':') return start
      wanted = 'value'
    } else {
      if (wanted !== ', or end') return start
      wanted = open.at(-1) === '{' ? 'name' : 'value'
    }
    at = token.lastIndex
  }
}

/** "line 3, column 12", both from 1; empty where the text is JSON. */
export const jsonFaultPlace = (text: string): string => {
  const at = jsonFaultAt(text)
  if (at === null) return ''
  const lines = text.slice(0, at).split('\n')
  return `line ${lines.length}, column ${(lines.at(-1) ?? '').length + 1}`
}
