/**
 * A quick look whether a value that JSON.parse made has the shape of a schema, many times quicker than zod's own parsing, which makes a new
 * value as it goes. It says yes only where zod would too, for the kinds of schema named here; of all else zod is the judge, and its words stand.
 */
import type { z } from 'zod'

type Look = (value: unknown) => boolean

const never: Look = () => false
const formatsThatAreTheirPattern = new Set<string>(['regex', 'uuid', 'date', 'datetime'])

/** Null: a check that is not known here. */
const lookOfCheck = (check: z.core.$ZodCheck): Look | null => {
  const { def } = (check as z.core.$ZodChecks)._zod
  switch (def.check) {
    case 'string_format': {
      const { pattern } = def
      if (pattern === undefined || pattern.global || pattern.sticky || !formatsThatAreTheirPattern.has(def.format)) return null
      return (value) => typeof value === 'string' && pattern.test(value)
    }
    case 'max_length': return (value) => (typeof value === 'string' || Array.isArray(value)) && value.length <= def.maximum
    case 'min_length': return (value) => (typeof value === 'string' || Array.isArray(value)) && value.length >= def.minimum
    case 'greater_than': return (value) => typeof value === 'number' && (value > Number(def.value) || (def.inclusive && value === Number(def.value)))
    case 'less_than': return (value) => typeof value === 'number' && (value < Number(def.value) || (def.inclusive && value === Number(def.value)))
    case 'number_format': return def.format === 'safeint' ? Number.isSafeInteger : null
    default: return null
  }
}

const withChecks = (kind: Look, checks: readonly z.core.$ZodCheck[]): Look => {
  const looks = checks.map(lookOfCheck)
  if (looks.includes(null)) return never
  const known = looks.filter((look) => look !== null)
  const [first] = known
  if (first === undefined) return kind
  if (known.length === 1) return (value) => kind(value) && first(value)
  return (value) => kind(value) && known.every((look) => look(value))
}

/** No name but those of the shape, each with its look; `least`: how many of them must be there, since the others are optional. */
const lookOfObject = (shape: Readonly<Record<string, z.core.$ZodType>>): Look => {
  const looks = Object.entries(shape).map(([name, schema]): [name: string, look: Look, optional: boolean] => [name, surelyFits(schema), isOptional(schema)])
  return (value) => {
    if (typeof value !== 'object' || value === null || Array.isArray(value)) return false
    const entries = value as Record<string, unknown>
    let present = 0
    for (const [name, look, optional] of looks) {
      const entry = entries[name]
      if (entry !== undefined) {
        if (!look(entry)) return false
        present += 1
      } else if (!optional) return false
    }
    return Object.keys(entries).length === present
  }
}

const isOptional = (schema: z.core.$ZodType): boolean => (schema as z.core.$ZodTypes)._zod.def.type === 'optional'

const lookOfRecord = (key: Look, entry: Look): Look => (value) =>
  typeof value === 'object' && value !== null && !Array.isArray(value) && Object.entries(value).every(([name, each]) => name !== '__proto__' && key(name) && entry(each))

/** @returns true only where `schema` accepts the value as it is; false where it does not, and where this cannot tell. */
export const surelyFits = (schema: z.core.$ZodType): Look => {
  const { def } = (schema as z.core.$ZodTypes)._zod
  switch (def.type) {
    case 'string': {
      const format = 'check' in def ? [schema as unknown as z.core.$ZodCheck] : []
      return withChecks((value) => typeof value === 'string', [...format, ...def.checks ?? []])
    }
    case 'number': return 'check' in def ? never : withChecks(Number.isFinite, def.checks ?? [])
    case 'boolean': return (value) => typeof value === 'boolean'
    case 'literal': {
      const { values } = def
      return (value) => values.includes(value as z.core.util.Literal)
    }
    case 'enum': {
      const entries = new Set<unknown>(Object.values(def.entries))
      return (value) => entries.has(value)
    }
    case 'nullable': case 'optional': {
      const inner = surelyFits(def.innerType)
      return def.type === 'optional' ? inner : (value) => value === null || inner(value)
    }
    case 'array': {
      const element = surelyFits(def.element)
      return withChecks((value) => Array.isArray(value) && value.every((each) => element(each)), def.checks ?? [])
    }
    case 'union': {
      const options = def.options.map(surelyFits)
      return (value) => options.some((option) => option(value))
    }
    case 'record': return withChecks(lookOfRecord(surelyFits(def.keyType), surelyFits(def.valueType)), def.checks ?? [])
    case 'object': {
      const strict = def.catchall !== undefined && (def.catchall as z.core.$ZodTypes)._zod.def.type === 'never'
      return strict ? withChecks(lookOfObject(def.shape), def.checks ?? []) : never
    }
    default: return never
  }
}
