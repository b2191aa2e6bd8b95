/** What a JSON text says beyond the value it is read as: names that stand twice, and figures written in another way than RFC 8785 writes them. */

const token = /"(?:[^"\\]|\\.)*"|-?\d[\d.eE+-]*|[{}[\]]/g

const read = (text: string): string => (text.includes('\\') ? String(JSON.parse(text)) : text.slice(1, -1))

/** The first character that is no white space. */
const afterSpace = (text: string, from: number): string => {
  let at = from
  while (' \t\n\r'.includes(text.charAt(at)) && at < text.length) at += 1
  return text.charAt(at)
}

const isName = (text: string, behind: number): boolean => afterSpace(text, behind) === ':'

/**
 * The first name that stands twice in one object, or figure that RFC 8785, 3.2.2.3, writes otherwise ("22.50", "1e2", "-0"): another program
 * may read such a text as something else. Null: there is none; order of names, white space and escapes make no other value (RFC 8259, 4 and 7).
 * @param text that JSON.parse read without fault.
 */
export const ambiguityIn = (text: string): string | null => {
  const open: (Set<string> | null)[] = []
  for (const { 0: found, index } of text.matchAll(token)) {
    switch (found.charAt(0)) {
      case '{': open.push(new Set()); break
      case '[': open.push(null); break
      case '}': case ']': open.pop(); break
      case '"': {
        const names = open.at(-1)
        if (names == null || !isName(text, index + found.length)) break
        const name = read(found)
        if (names.has(name)) return `the name ${JSON.stringify(name)} stands twice`
        names.add(name)
        break
      }
      default: if (JSON.stringify(Number(found)) !== found) return `the figure ${found} is written otherwise than it was`
    }
  }
  return null
}
