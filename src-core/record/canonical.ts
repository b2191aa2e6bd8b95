/** The one way to write a JSON value: RFC 8785, the JSON Canonicalization Scheme. What is signed and hashed is this text. */
import serialize from 'canonicalize'

/** @throws Error for what JSON cannot hold: NaN, infinity, half a surrogate pair, nothing at all. */
export const canonical = (value: unknown): string => {
  const text = serialize(value)
  if (text === undefined) throw new Error('There is nothing here that JSON could write.')
  return text
}

/** A string, or white space between two parts of a JSON text. */
const stringOrSpace = /("(?:[^"\\]|\\.)*")|[\t\n\r ]+/g

/**
 * Whether a text is the canonical form of the value it was read as, but for white space. False where a name stands twice, or a figure or
 * a letter is written in another way: another program may then read it as something else.
 */
export const isWrittenAs = (text: string, canonicalText: string): boolean =>
  text.trimEnd() === canonicalText || text.replace(stringOrSpace, '$1') === canonicalText
