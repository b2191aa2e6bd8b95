/** What zod finds wrong with the shape of a board file, in words, with the path of the field as one would write it. */
import type { z } from 'zod'

export type FieldProblem = { field: string; message: string }

/** "sequence.steps[3].red" from zod's path. */
const fieldOf = (path: readonly PropertyKey[]): string =>
  path.reduce<string>((field, key) => (typeof key === 'number' ? `${field}[${key}]` : field === '' ? String(key)
    : `${field}.${String(key)}`), '') || '(whole file)'

const listed = (values: readonly unknown[]): string => values.map((value) => JSON.stringify(value)).join(', ')

const valueAt = (json: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>((at, key) => (typeof at === 'object' && at !== null ? (at as Record<PropertyKey, unknown>)[key] : undefined), json)

const shown = (value: unknown): string => {
  if (value === undefined) return 'nothing'
  const text = JSON.stringify(value)
  return text.length > 40 ? `${text.slice(0, 39)}…` : text
}

type Issue = z.core.$ZodIssue

const nounOf: Record<string, string> = {
  string: 'text in quotes', number: 'a number', boolean: 'true or false', array: 'a list in [ ]', object: 'an object in { }',
    record: 'an object in { }', tuple: 'a list in [ ]', int: 'a whole number',
}

const wordsOf = (issue: Issue, json: unknown): string => {
  const is = valueAt(json, issue.path)
  switch (issue.code) {
    case 'invalid_type':
      return is === undefined ? `is missing; write ${nounOf[issue.expected] ?? issue.expected}`
        : `must be ${nounOf[issue.expected] ?? issue.expected}, not ${shown(is)}`
    case 'invalid_value': return `must be ${issue.values.length > 1 ? 'one of ' : ''}${listed(issue.values)}, not ${shown(is)}`
    case 'unrecognized_keys': {
      const [noun, pronoun] = issue.keys.length > 1 ? ['unknown keys', 'them'] : ['an unknown key', 'it']
      return `has ${noun} ${listed(issue.keys)}; remove or correct ${pronoun}`
    }
    case 'too_small': return issue.origin === 'string' || issue.origin === 'array'
      ? `is too short: it needs at least ${String(issue.minimum)} ${issue.origin === 'array' ? 'entries' : 'characters'}`
      : `must be ${issue.inclusive === true ? 'at least' : 'above'} ${String(issue.minimum)}, not ${shown(is)}`
    case 'too_big': return issue.origin === 'string' || issue.origin === 'array'
      ? `is too long: at most ${String(issue.maximum)} ${issue.origin === 'array' ? 'entries' : 'characters'}`
      : `must be ${issue.inclusive === true ? 'at most' : 'below'} ${String(issue.maximum)}, not ${shown(is)}`
    case 'invalid_format': return `${issue.message}; it is ${shown(is)}`
    case 'custom': return issue.message
    default: return `${issue.message}; it is ${shown(is)}`
  }
}

/** "a number, "overload" or "negative-overload"": of a union none of whose choices has anything inside; null where one has. */
const allowedInWords = (choices: readonly (readonly Issue[])[]): string | null => {
  const words = choices.map(([only, ...more]) => (only === undefined || more.length > 0 || only.path.length > 0 ? null
    : only.code === 'invalid_value' ? only.values.map((value) => JSON.stringify(value))
      : only.code === 'invalid_type' && only.expected in nounOf && !['array', 'object', 'record', 'tuple'].includes(only.expected) ? [nounOf[only.expected] ?? ''] : null))
  const all = words.flatMap((one) => one ?? [])
  return words.includes(null) || all.length < 2 ? null : `${all.slice(0, -1).join(', ')} or ${all.at(-1) ?? ''}`
}

/** A union's own message says little: the choice that came furthest, or our words for the unions of a board file. */
const issuesOf = (issue: Issue, json: unknown, above: readonly PropertyKey[]): FieldProblem[] => {
  const path = [...above, ...issue.path]
  const here = { ...issue, path } as Issue
  const last = path.at(-1)
  if (issue.code === 'invalid_union') {
    const is = valueAt(json, path)
    if (last === 'limits') {
      const inner = deepest(issue.errors)
      if (typeof is === 'object' && is !== null && inner) return inner.flatMap((one) => issuesOf(one, json, path))
      return [{ field: fieldOf(path),
        message: `must be "open", "short", {"between": […]}, {"nominal", "tolerance"}, {"marked": "4k7 5 %"}, {"atMost"} or {"atLeast"}, not ${shown(is)}` }]
    }
    if (last === 'when') return [{ field: fieldOf(path),
      message: `must be a verdict ("pass", "fail", "overload", …), "under-limits", "over-limits", {"below": x} or {"above": x}, not ${shown(is)}` }]
    if (last === 'kind') return [{ field: fieldOf(path), message: `must be "measure", "look", "do", "watch" or "walk", not ${shown(is)}` }]
    const whole = allowedInWords(issue.errors)
    if (whole !== null) return [{ field: fieldOf(path), message: is === undefined ? `is missing; write ${whole}` : `must be ${whole}, not ${shown(is)}` }]
    const inner = deepest(issue.errors)
    if (inner) return inner.flatMap((one) => issuesOf(one, json, path))
  }
  return [{ field: fieldOf(path), message: wordsOf(here, json) }]
}

/** The alternative with the fewest complaints about keys it does not know, then the fewest at all. */
const deepest = (alternatives: readonly (readonly Issue[])[]): readonly Issue[] | undefined => {
  const score = (issues: readonly Issue[]): number =>
    issues.reduce((sum, issue) => sum + 1 + (issue.code === 'unrecognized_keys' ? 2 : 0) + (issue.path.length === 0
      && issue.code === 'invalid_type' ? 10 : 0), 0)
  return [...alternatives].filter((issues) => issues.length > 0).sort((a, b) => score(a) - score(b))[0]
}

/** A step id that breaks the identifier rule only by its prefix is told the rule about the prefix. */
const prefixed = (issue: FieldProblem, json: unknown, path: readonly PropertyKey[]): FieldProblem => {
  const is = valueAt(json, path)
  return path[0] === 'sequence' && path.at(-1) === 'id' && typeof is === 'string' && is.startsWith('prepare/')
    ? { ...issue, message: 'must not begin with "prepare/"; those ids belong to the preparation' } : issue
}

/** A complaint about a part says which, since nobody counts parts: "(R4)". */
const withItsPart = (issue: FieldProblem, json: unknown, path: readonly PropertyKey[]): FieldProblem => {
  const ref = path[0] === 'parts' && path.length > 2 ? valueAt(json, [...path.slice(0, 2), 'ref']) : undefined
  return typeof ref === 'string' && path.at(-1) !== 'ref' ? { ...issue, message: `${issue.message} (${ref})` } : issue
}

/** Every complaint of the schema about `json`, in the order of the file. */
export const shapeProblems = (error: z.ZodError, json: unknown): FieldProblem[] => error.issues.flatMap((issue) =>
  issuesOf(issue, json, []).map((one) => withItsPart(prefixed(one, json, issue.path), json, issue.path)))
