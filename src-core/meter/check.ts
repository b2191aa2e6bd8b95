/** Checks a meter description before anything trusts it: every problem with its file and field, in plain words. */
import { meterDescription, type MeterDescription } from './description'
import { frameProblems } from './check-frame'
import { powerOfTen } from './figure'
import { isFrames, type LineFraming } from './framing'
import { namedGroups, patternShape } from './pattern-shape'
import { patternTrouble } from './pattern-time'
import { plainProblems, type FileProblem } from './problem-words'
import { scpiProblems } from './scpi/names'
import { unitMarks } from './unit-marks'

export type DescriptionCheck = { description: MeterDescription } | { problems: FileProblem[] }

const needed = ['function', 'value']
const known = [...needed, 'prefix', 'unit', 'flags', 'range']
const mostPadding = 8

/** A field of fixed width may hold a key with spaces around it; the decoder takes them off. */
const canStandIn = (source: string, key: string): boolean => {
  const whole = new RegExp(`^(?:${source})$`)
  for (let padding = 0; padding <= mostPadding; padding += 1) {
    for (let left = 0; left <= padding; left += 1) {
      if (whole.test(' '.repeat(left) + key + ' '.repeat(padding - left))) return true
    }
  }
  return false
}

type Clock = (() => number) | null
export type Found = { field: string; message: string }

const groupProblems = (groups: Map<string, string>): Found[] => [
  ...needed.filter((name) => !groups.has(name)).map((name) => ({
    field: 'pattern', message: `"pattern" has no group "${name}"; write (?<${name}>…) where the line holds it.`,
  })),
  ...[...groups.keys()].filter((name) => !known.includes(name)).map((name) => ({
    field: 'pattern', message: `"pattern" has a group "${name}", which means nothing here; the groups are ${known.join(', ')}.`,
  })),
]

/** Keys of the description that the group they are looked up in can never hold. */
const keyProblems = (description: MeterDescription, groups: Map<string, string>): Found[] => {
  const looked: { field: string; group: string; keys: string[] }[] = [
    { field: 'functions', group: 'function', keys: Object.keys(description.functions) },
    { field: 'overload', group: 'value', keys: description.overload },
    { field: 'negativeOverload', group: 'value', keys: description.negativeOverload ?? [] },
    { field: 'prefixes', group: 'prefix', keys: Object.keys(description.prefixes) },
    { field: 'units', group: 'unit', keys: Object.keys(description.units ?? {}) },
  ]
  return looked.flatMap(({ field, group, keys }) => {
    const source = groups.get(group)
    if (source === undefined) {
      const unused = { field, message: `"${field}" is never used: "pattern" has no group "${group}".` }
      return keys.length === 0 || needed.includes(group) ? [] : [unused]
    }
    return keys.filter((key) => !canStandIn(source, key)).map((key) => ({
      field: `${field}.${key}`,
      message: `"${field}.${key}" can never be met: the group "${group}" of "pattern", ${source}, does not take "${key}".`,
    }))
  })
}

const flagProblems = (description: MeterDescription, groups: Map<string, string>): Found[] =>
  Object.keys(description.flags).length > 0 && !groups.has('flags')
    ? [{ field: 'flags', message: '"flags" is never used: "pattern" has no group "flags".' }] : []

const prefixProblems = ({ prefixes }: MeterDescription): Found[] =>
  Object.entries(prefixes).filter(([, factor]) => powerOfTen(factor) === null).map(([key, factor]) => ({
    field: `prefixes.${key}`, message: `"prefixes.${key}" must be a power of ten, such as 1e3 or 1e-6; it is ${factor}.`,
  }))

/** "kOhm" as a unit would lose its factor of a thousand. */
const unitProblems = (description: MeterDescription, groups: Map<string, string>): Found[] => {
  const plain = unitMarks(undefined)
  const scaled = Object.keys(description.units ?? {}).filter((key) => /^[fpnumkKMG\u00b5\u03bc]./.test(key) && plain.has(key.slice(1)))
  const temperature = Object.entries(description.functions).filter(([, f]) => f.is === 'temperature' && !groups.has('unit'))
  return [
    ...scaled.map((key) => ({
      field: `units.${key}`,
      message: `"units.${key}" hides a prefix in a unit; `
        + `let "pattern" take "${key[0]}" as (?<prefix>…) and "${key.slice(1)}" as (?<unit>…).`,
    })),
    ...temperature.map(([key]) => ({
      field: `functions.${key}`, message: `"functions.${key}" is a temperature, and "pattern" has no group "unit" to tell °C from K.`,
    })),
  ]
}

const delimiterProblems = (framing: LineFraming): Found[] =>
  (framing.delimiter.match(/../g) ?? []).some((byte) => byte >= '30' && byte <= '39')
    ? [{
        field: 'framing.delimiter',
        message: '"framing.delimiter" holds a digit, so figures would be cut in two; it is the bytes that end a line, such as "0d0a".',
      }]
    : []

const compileProblem = (pattern: string): Found[] => {
  try {
    new RegExp(pattern)
    return []
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error)
    return [{ field: 'pattern', message: `"pattern" is not a regular expression: ${why}.` }]
  }
}

const patternProblems = (pattern: string, { maxBytes }: LineFraming, description: MeterDescription, clock: Clock): Found[] => {
  const broken = compileProblem(pattern)
  if (broken.length > 0) return broken
  const trouble = clock === null ? null : patternTrouble(pattern, maxBytes, clock)
  if (trouble !== null) return [{ field: 'pattern', message: `"pattern" is refused because ${trouble}.` }]
  const found = patternShape(pattern)
  if ('refused' in found) return []
  const groups = namedGroups(found.shape)
  return [
    ...groupProblems(groups), ...keyProblems(description, groups),
    ...flagProblems(description, groups), ...unitProblems(description, groups),
  ]
}

const lineProblems = (framing: LineFraming, description: MeterDescription, clock: Clock): Found[] => [
  ...delimiterProblems(framing), ...prefixProblems(description),
  ...(description.overload.length > 0 ? [] : [{ field: 'overload', message: '"overload" is missing; it must hold what the meter sends out of range, such as ["OL"].' }]),
  ...(description.pattern === undefined
    ? [{ field: 'pattern', message: '"pattern" is missing; it must be text in quotes: a regular expression over one line.' }]
    : patternProblems(description.pattern, framing, description, clock)),
]

const framingProblems = (description: MeterDescription, clock: Clock): Found[] => {
  const { framing, pattern } = description
  if (framing.kind === 'lines') return lineProblems(framing, description, clock)
  const unread = pattern === undefined ? [] : [{ field: 'pattern', message: `"pattern" reads lines, and "framing.kind" is "${framing.kind}"; take it out.` }]
  return [...unread, ...prefixProblems(description), ...(isFrames(framing) ? frameProblems(framing, description) : scpiProblems(description))]
}

/**
 * The description, or every problem found in it.
 * @param json the file's content, parsed
 * @param file named in each problem
 * @param clock milliseconds, monotonic (core has none): times the pattern on lines made to be slow. Null: a file whose pattern was timed before
 */
export const checkDescription = (json: unknown, file: string, clock: Clock): DescriptionCheck => {
  const parsed = meterDescription.safeParse(json)
  if (!parsed.success) return { problems: plainProblems(parsed.error, json, file) }
  const description = parsed.data
  const found = framingProblems(description, clock)
  return found.length === 0 ? { description } : { problems: found.map((problem) => ({ file, ...problem })) }
}
