/** What speaks against the texts of a description of frames: some that nobody looks up, and entries that no frame can ever give. */
import type { MeterDescription } from './description'
import type { FrameFraming, TextField } from './framing'
import { unitMarks } from './unit-marks'

type Found = { field: string; message: string }

/** Every text a field can give; null: any text at all. */
const textsOf = (text: TextField): string[] | null => {
  switch (text.kind) {
    case 'constant': return [text.text]
    case 'code': return Object.values(text.texts)
    case 'rules': return [...text.rules.map((rule) => rule.text), ...(text.otherwise === undefined ? [] : [text.otherwise])]
    case 'ascii': return null
  }
}

type Looked = { name: 'function' | 'prefix' | 'unit'; list: string; keys: string[]; known: string[] }

/** Texts a field can give that are not looked up, and keys that no field ever gives. */
const lookupProblems = ({ fields }: FrameFraming, description: MeterDescription): Found[] => {
  const own = (list: Record<string, unknown> | undefined): string[] => Object.keys(list ?? {})
  const looked: Looked[] = [
    { name: 'function', list: 'functions', keys: own(description.functions), known: own(description.functions) },
    { name: 'prefix', list: 'prefixes', keys: own(description.prefixes), known: ['', ...own(description.prefixes)] },
    { name: 'unit', list: 'units', keys: own(description.units), known: ['', ...unitMarks(description.units).keys()] },
  ]
  return looked.flatMap(({ name, list, keys, known }) => {
    const text = fields[name]
    if (text === undefined) return keys.length === 0 ? [] : [{ field: list, message: `"${list}" is never used: "framing.fields" has no "${name}".` }]
    const given = textsOf(text)
    if (given === null) return []
    const unknown = [...new Set(given)].filter((each) => !known.includes(each))
    const unused = keys.filter((key) => !given.includes(key))
    return [
      ...unknown.map((each) => ({ field: `framing.fields.${name}`, message: `"framing.fields.${name}" gives "${each}", which is not in "${list}"; add it there, or correct it here.` })),
      ...unused.map((key) => ({ field: `${list}.${key}`, message: `"${list}.${key}" can never be met: "framing.fields.${name}" never gives it.` })),
    ]
  })
}

const flagProblems = ({ fields }: FrameFraming, { flags }: MeterDescription): Found[] => {
  const given = (fields.flags ?? []).flatMap(({ text }) => [...text])
  return [
    ...[...new Set(given)].filter((letter) => flags[letter] === undefined).map((letter) => ({
      field: 'framing.fields.flags', message: `"framing.fields.flags" gives "${letter}", which is not in "flags"; add it there, or correct it here.`,
    })),
    ...Object.keys(flags).filter((letter) => !given.includes(letter)).map((letter) => ({
      field: `flags.${letter}`, message: `"flags.${letter}" can never be met: "framing.fields.flags" never gives it.`,
    })),
  ]
}

/** Characters the digits of the value can show; null: any. */
const shownCharacters = ({ fields: { value } }: FrameFraming): Set<string> | null => {
  switch (value.kind) {
    case 'ascii': return null
    case 'bcd': return new Set([...'0123456789', ...Object.values(value.others ?? {})])
    case 'segments': return new Set(Object.values(value.map))
    case 'integer': case 'float': return new Set()
  }
}

const overloadProblems = (framing: FrameFraming, { overload, negativeOverload, functions }: MeterDescription): Found[] => {
  const { value } = framing.fields
  const characters = shownCharacters(framing)
  const never = [...overload.map((text) => ({ list: 'overload', text })), ...(negativeOverload ?? []).map((text) => ({ list: 'negativeOverload', text }))]
    .filter(({ text }) => characters !== null && [...text].some((character) => !characters.has(character)))
    .map(({ list, text }) => ({ field: `${list}.${text}`, message: `"${list}.${text}" can never be met: "framing.fields.value" never shows it.` }))
  const ways = (value.overloadWhen ?? []).length + overload.length + (value.kind === 'integer' ? (value.overload ?? []).length : value.kind === 'float' ? 1 : 0)
  const measured = Object.values(functions).some(({ is }) => is === 'resistance' || is === 'diode' || is === 'continuity')
  return ways > 0 || !measured ? never : [...never, {
    field: 'overload', message: 'Nothing says how the meter shows that it is out of range: give "overload" the digits it shows then, such as ["0L"], or "framing.fields.value.overloadWhen" the bits.',
  }]
}

const temperatureProblems = ({ fields }: FrameFraming, { functions }: MeterDescription): Found[] =>
  Object.entries(functions).filter(([, f]) => f.is === 'temperature' && fields.unit === undefined).map(([key]) => ({
    field: `functions.${key}`, message: `"functions.${key}" is a temperature, and "framing.fields" has no "unit" to tell °C from K.`,
  }))

const decimalsProblems = ({ fields: { value: { decimals } } }: FrameFraming): Found[] =>
  (decimals === undefined ? [] : textsOf(decimals) ?? []).filter((text) => !/^\d$/.test(text)).map((text) => ({
    field: 'framing.fields.value.decimals', message: `"framing.fields.value.decimals" gives "${text}"; it must be how many digits follow the point, "0" to "9".`,
  }))

const mapProblems = ({ fields: { value } }: FrameFraming): Found[] => {
  if (value.kind !== 'segments') return []
  const shown = new Set(Object.values(value.map))
  const missing = [...'0123456789'].filter((digit) => !shown.has(digit))
  return missing.length === 0 ? []
    : [{ field: 'framing.fields.value.map', message: `"framing.fields.value.map" has no segments for ${missing.join(', ')}; without them a display with that digit is never read.` }]
}

const codeProblems = ({ fields }: FrameFraming): Found[] => {
  const named: [string, TextField | undefined][] = [
    ['function', fields.function], ['prefix', fields.prefix], ['unit', fields.unit], ['range', fields.range], ['value.decimals', fields.value.decimals],
  ]
  return named.flatMap(([name, text]) => {
    if (text?.kind !== 'code' || text.mask === undefined) return []
    const mask = Number.parseInt(text.mask, 16)
    return Object.keys(text.texts).filter((code) => (Number.parseInt(code, 16) & ~mask) !== 0).map((code) => ({
      field: `framing.fields.${name}.texts.${code}`, message: `"framing.fields.${name}.texts.${code}" can never be met: it has bits that the mask "${text.mask}" takes away.`,
    }))
  })
}

/** Everything found wrong with the texts of a description of frames. */
export const textProblems = (framing: FrameFraming, description: MeterDescription): Found[] => [
  ...lookupProblems(framing, description), ...flagProblems(framing, description), ...overloadProblems(framing, description),
  ...temperatureProblems(framing, description), ...decimalsProblems(framing), ...mapProblems(framing), ...codeProblems(framing),
]
