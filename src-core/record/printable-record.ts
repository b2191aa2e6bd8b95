/** A record's content with nothing in its words that would move a cursor or turn the direction of reading: see terms.ts for what is one line. */
import { inPlain, onOneLine } from '../quantity/printable'

/** Names whose words may have line feeds in them. */
const sentences = new Set(['issuer', 'place', 'conditionAsReceived', 'because', 'words', 'instruction', 'what', 'note', 'from', 'replacedBecause', 'noUncertaintyBecause', 'remarks', 'knownDiode', 'knownSource', 'knownResistor'])

const cleaned = (value: unknown, name: string): unknown => {
  if (typeof value === 'string') return sentences.has(name) ? inPlain(value) : onOneLine(value)
  if (Array.isArray(value)) return value.map((each) => cleaned(each, name))
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, cleaned(each, key === 'words' && 'point' in value ? 'point' : key)]))
}

/** The same content; where a run of an older version holds such a character, □ shows that it did. */
export const printable = <Content extends object>(content: Content): Content => cleaned(content, '') as Content
