/** What zod finds wrong with a file, as plain sentences with file and field. Serves any of the app's files. */
import type { z } from 'zod'

export type FileProblem = { file: string; field: string; message: string }

type Issue = z.core.$ZodIssue

const fieldOf = (path: readonly PropertyKey[]): string => path.map(String).join('.')

const valueAt = (json: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>((value, key) =>
    (typeof value === 'object' && value !== null ? (value as Record<PropertyKey, unknown>)[key] : undefined), json)

const quoted = (value: unknown): string => {
  if (Array.isArray(value)) return 'a list'
  if (typeof value === 'object' && value !== null) return 'an object'
  const text = typeof value === 'string' ? JSON.stringify(value) : String(value)
  return text.length > 60 ? `${text.slice(0, 60)}…` : text
}

const oneOf = (values: readonly unknown[]): string => {
  const words = [...new Set(values.map(quoted))]
  const last = words.pop() ?? ''
  return words.length === 0 ? last : `${words.join(', ')} or ${last}`
}

const kinds: Record<string, string> = {
  string: 'text in quotes', number: 'a number', int: 'a whole number', boolean: 'true or false',
  object: 'an object in braces', record: 'an object in braces', array: 'a list in brackets', tuple: 'a list in brackets',
}
const kind = (expected: string): string => kinds[expected] ?? expected

const inKeyOf: Record<string, [singular: string, plural: string]> = {
  string: ['character', 'characters'], array: ['entry', 'entries'], set: ['entry', 'entries'], object: ['entry', 'entries'],
}

const bound = (issue: Extract<Issue, { code: 'too_small' | 'too_big' }>): string => {
  const small = issue.code === 'too_small'
  const limit = issue.code === 'too_small' ? issue.minimum : issue.maximum
  const open = small ? 'more than' : 'less than'
  const closed = small ? 'at least' : 'at most'
  const side = issue.exact === true ? 'exactly' : issue.inclusive === false ? open : closed
  const things = inKeyOf[issue.origin]
  if (things === undefined) return `must be ${side} ${limit}`
  return `must have ${side} ${limit} ${Number(limit) === 1 ? things[0] : things[1]}`
}

const own = (message: string): string => (/^Invalid|^Too /.test(message) ? 'does not have the right form' : message)

/** What a union would have taken, if its members are plain values. */
const unionValues = (errors: readonly (readonly Issue[])[]): unknown[] | null => {
  const values = errors.map(([first, ...others]) =>
    (first?.code === 'invalid_value' && first.path.length === 0 && others.length === 0 ? first.values : null))
  return values.length > 0 && values.every((v) => v !== null) ? values.flat() : null
}

const rule = (issue: Issue): string => {
  switch (issue.code) {
    case 'invalid_type': return `must be ${kind(issue.expected)}`
    case 'invalid_value': return `must be ${oneOf(issue.values)}`
    case 'too_small': case 'too_big': return bound(issue)
    case 'not_multiple_of': return `must be a multiple of ${issue.divisor}`
    case 'invalid_union': {
      if ('options' in issue && Array.isArray(issue.options)) return `must be ${oneOf(issue.options)}`
      const values = unionValues(issue.errors)
      return values === null ? 'has none of the forms allowed here' : `must be ${oneOf(values)}`
    }
    case 'invalid_key': return `is a key that ${issue.issues.map(rule).join(' and ')}`
    case 'invalid_format': case 'invalid_element': case 'custom': return own(issue.message)
    case 'unrecognized_keys': return 'is no key known here; check its spelling, or take it out'
  }
}

const sentence = (field: string, text: string): string => `${field === '' ? 'The file' : `"${field}"`} ${text}.`

/** One problem an issue; for unknown keys one a key. Each message is a whole sentence that names its field. */
export const plainProblems = (error: z.ZodError, json: unknown, file: string): FileProblem[] =>
  error.issues.flatMap((issue) => {
    if (issue.code === 'unrecognized_keys') {
      return issue.keys.map((key) => {
        const field = fieldOf([...issue.path, key])
        return { file, field, message: sentence(field, rule(issue)) }
      })
    }
    const field = fieldOf(issue.path)
    const value = valueAt(json, issue.path)
    const text = value === undefined && issue.path.length > 0
      ? `is missing; it ${rule(issue)}`
      : issue.code === 'invalid_key' ? rule(issue) : `${rule(issue)}; it is ${quoted(value)}`
    return [{ file, field, message: sentence(field, text) }]
  })
