/** What speaks against a description of frames: places outside the frame, texts nobody looks up, noise that would pass as a frame. */
import { checkBytes } from './check-value'
import type { MeterDescription } from './description'
import { bitPlace } from './frame-bits'
import type { BitsAre, FrameFraming, TextField, ValueField } from './framing'

type Found = { field: string; message: string }

/** Bytes that every frame is sure to have. */
const leastBytes = (framing: FrameFraming): number => {
  switch (framing.kind) {
    case 'frames': case 'indexed-frames': return framing.length
    case 'counted-frames': return framing.maxBytes
    case 'delimited-frames': return framing.maxBytes
  }
}

type Placed = { field: string; from: number; to: number }

const bitPlaces = (field: string, bits: BitsAre): Placed[] => Object.keys(bits).map((bit) => {
  const { byte } = bitPlace(bit)
  return { field: `${field}.${bit}`, from: byte, to: byte }
})

const textPlaces = (field: string, text: TextField): Placed[] => {
  switch (text.kind) {
    case 'constant': return []
    case 'ascii': return [{ field, from: text.from, to: text.to }]
    case 'code': return [{ field: `${field}.byte`, from: text.byte, to: text.byte }]
    case 'rules': return text.rules.flatMap(({ when }, index) => bitPlaces(`${field}.rules.${index}.when`, when))
  }
}

const valuePlaces = (value: ValueField): Placed[] => {
  const field = 'framing.fields.value'
  const shared = [
    ...(value.negative === undefined ? [] : bitPlaces(`${field}.negative`, value.negative)),
    ...(value.decimals === undefined ? [] : textPlaces(`${field}.decimals`, value.decimals)),
    ...(value.overloadWhen ?? []).flatMap((when, index) => bitPlaces(`${field}.overloadWhen.${index}`, when)),
  ]
  switch (value.kind) {
    case 'ascii': return [...shared, { field, from: value.from, to: value.to }]
    case 'integer': case 'float': return [...shared, { field: `${field}.byte`, from: value.byte, to: value.byte + value.bytes - 1 }]
    case 'bcd': return [...shared, ...value.digits.map(({ byte }, index) => ({ field: `${field}.digits.${index}`, from: byte, to: byte }))]
    case 'segments': return [...shared, ...value.digits.flatMap((digit, index) =>
      Object.entries(digit).map(([segment, bit]) => ({ field: `${field}.digits.${index}.${segment}`, from: bitPlace(bit).byte, to: bitPlace(bit).byte })))]
  }
}

const placesOf = (framing: FrameFraming): Placed[] => {
  const { fields, fixed, check } = framing
  return [
    ...(fixed === undefined ? [] : bitPlaces('framing.fixed', fixed)),
    ...(check === undefined ? [] : [
      { field: 'framing.check.from', from: check.from, to: check.from }, { field: 'framing.check.to', from: check.to, to: check.to },
      { field: 'framing.check.at', from: check.at, to: check.at + checkBytes(check) - 1 },
    ]),
    ...(['function', 'prefix', 'unit', 'range'] as const).flatMap((name) => {
      const text = fields[name]
      return text === undefined ? [] : textPlaces(`framing.fields.${name}`, text)
    }),
    ...valuePlaces(fields.value),
    ...(fields.flags ?? []).flatMap(({ when }, index) => bitPlaces(`framing.fields.flags.${index}.when`, when)),
  ]
}

const placeProblems = (framing: FrameFraming): Found[] => {
  const bytes = leastBytes(framing)
  const inside = (at: number): boolean => at < bytes && at >= -bytes
  return placesOf(framing).flatMap(({ field, from, to }) => {
    if (!inside(from) || !inside(to)) return [{ field, message: `"${field}" lies outside the frame of ${bytes} bytes; bytes count from 0, and from −1 backwards.` }]
    const backwards = from >= 0 === to >= 0 ? to < from : false
    return backwards ? [{ field, message: `"${field}" ends before it begins, or runs over the end of the frame.` }] : []
  })
}

const textsOf = (text: TextField): string[] | null => {
  switch (text.kind) {
    case 'constant': return [text.text]
    case 'code': return Object.values(text.texts)
    case 'rules': return [...text.rules.map((rule) => rule.text), ...(text.otherwise === undefined ? [] : [text.otherwise])]
    case 'ascii': return null
  }
}

/** Texts a field can give that are not looked up, and keys that no field ever gives. */
const lookupProblems = ({ fields }: FrameFraming, description: MeterDescription): Found[] => {
  const looked = [
    { name: 'function', text: fields.function, list: 'functions', keys: Object.keys(description.functions), blank: false },
    { name: 'prefix', text: fields.prefix, list: 'prefixes', keys: Object.keys(description.prefixes), blank: true },
  ]
  return looked.flatMap(({ name, text, list, keys, blank }) => {
    if (text === undefined) return keys.length === 0 ? [] : [{ field: list, message: `"${list}" is never used: "framing.fields" has no "${name}".` }]
    const given = textsOf(text)
    if (given === null) return []
    const unknown = [...new Set(given)].filter((each) => !keys.includes(each) && !(blank && each === ''))
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

const overloadProblems = ({ fields: { value } }: FrameFraming, { overload, functions }: MeterDescription): Found[] => {
  const ways = (value.overloadWhen ?? []).length + overload.length + (value.kind === 'integer' ? (value.overload ?? []).length : value.kind === 'float' ? 1 : 0)
  const measured = Object.values(functions).some(({ is }) => is === 'resistance' || is === 'diode' || is === 'continuity')
  return ways === 0 && measured
    ? [{ field: 'overload', message: 'Nothing says how the meter shows that it is out of range: give "overload" the digits it shows then, such as ["0L"], or "framing.fields.value.overloadWhen" the bits.' }]
    : []
}

const temperatureProblems = ({ fields }: FrameFraming, { functions }: MeterDescription): Found[] =>
  Object.entries(functions).filter(([, f]) => f.is === 'temperature' && fields.unit === undefined).map(([key]) => ({
    field: `functions.${key}`, message: `"functions.${key}" is a temperature, and "framing.fields" has no "unit" to tell °C from K.`,
  }))

/** Without a mark that every frame carries, any bytes would be frames. */
const structureProblems = (framing: FrameFraming): Found[] => {
  if (framing.kind !== 'frames') return []
  const marks = ((framing.start ?? '').length + (framing.end ?? '').length) * 4 + Object.keys(framing.fixed ?? {}).length
  const all = marks + (framing.check === undefined ? 0 : 8)
  return all >= 8
    ? []
    : [{ field: 'framing', message: '"framing" has nothing to tell a frame from noise: give "start", "end", "check" or at least eight bits in "fixed".' }]
}

/** Everything found wrong with the frames of a description whose shape is right. */
export const frameProblems = (framing: FrameFraming, description: MeterDescription): Found[] => [
  ...structureProblems(framing), ...placeProblems(framing), ...lookupProblems(framing, description), ...flagProblems(framing, description),
  ...overloadProblems(framing, description), ...temperatureProblems(framing, description),
]
