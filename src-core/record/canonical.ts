/** The one way to write a JSON value: RFC 8785, the JSON Canonicalization Scheme. What is signed and hashed is this text. */
import serialize from 'canonicalize'

const plainPrototypes: readonly unknown[] = [Object.prototype, null]
/** JavaScript puts names that are whole numbers in front of all others, whatever order they are given in. */
const wholeNumber = /^\d+$/

/** Nothing in it that JSON.stringify writes otherwise than RFC 8785 asks, but for the order of names. */
const isPlain = (value: unknown): boolean => {
  switch (typeof value) {
    case 'string': case 'boolean': return true
    case 'number': return Number.isFinite(value)
    case 'object':
      if (value === null) return true
      if (Array.isArray(value)) return Object.keys(value).length === value.length && value.every(isPlain)
      return plainPrototypes.includes(Object.getPrototypeOf(value))
        && Object.entries(value).every(([name, each]) => name !== '__proto__' && name !== 'toJSON' && !wholeNumber.test(name) && (each === undefined || isPlain(each)))
    default: return false
  }
}

const withSortedNames = (value: unknown): unknown => {
  if (typeof value !== 'object' || value === null) return value
  if (Array.isArray(value)) return value.map(withSortedNames)
  const from = value as Record<string, unknown>
  const made: Record<string, unknown> = {}
  for (const name of Object.keys(from).sort()) made[name] = withSortedNames(from[name])
  return made
}

/** JSON.stringify writes half of a surrogate pair so; a text that has it may be none. */
const halfPair = /\\ud[89a-f]/

/** The library's text, several times quicker, where it is sure: RFC 8785 takes figures and strings as JSON.stringify writes them (3.2.2). */
const quickly = (value: unknown): string | null => {
  if (!isPlain(value)) return null
  const text = JSON.stringify(withSortedNames(value))
  return halfPair.test(text) ? null : text
}

/** @throws Error for what JSON cannot hold: NaN, infinity, half a surrogate pair, nothing at all. */
export const canonical = (value: unknown): string => {
  const text = quickly(value) ?? serialize(value)
  if (text === undefined) throw new Error('There is nothing here that JSON could write.')
  return text
}

const inOrder = (names: readonly string[]): boolean => names.every((name, index) => index === 0 || (names[index - 1] ?? '') < name)

/** Every object's names stand in the order of RFC 8785, 3.2.3: by UTF-16 code units, as JavaScript compares them. */
const isSorted = (value: unknown): boolean => {
  if (typeof value !== 'object' || value === null) return true
  if (Array.isArray(value)) return value.every(isSorted)
  return inOrder(Object.keys(value)) && Object.values(value).every(isSorted)
}

/**
 * The same for a value that JSON.parse made, many times quicker where its names stand in order already: RFC 8785 takes figures and strings
 * as JSON.stringify writes them (3.2.2). @throws Error as `canonical` does, but for half a surrogate pair, which it writes as an escape.
 */
export const canonicalOfParsed = (value: unknown): string => (isSorted(value) ? JSON.stringify(value) : canonical(value))

/** A string, or white space between two parts of a JSON text. */
const stringOrSpace = /("(?:[^"\\]|\\.)*")|[\t\n\r ]+/g

/**
 * Whether a text is the canonical form of the value it was read as, but for white space. False where a name stands twice, or a figure or
 * a letter is written in another way: another program may then read it as something else.
 */
export const isWrittenAs = (text: string, canonicalText: string): boolean =>
  text.trimEnd() === canonicalText || text.replace(stringOrSpace, '$1') === canonicalText
