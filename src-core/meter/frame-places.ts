/** Every byte that a description of frames looks at, and so the length a frame must have. */
import { checkBytes } from './check-value'
import { bitPlace } from './frame-bits'
import type { BitsAre, FrameFraming, TextField, ValueField } from './framing'

/** Bytes from…to, by the field that names them. */
export type Placed = { field: string; from: number; to: number }

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

/** What `fields` looks at. */
export const fieldPlaces = ({ fields }: Pick<FrameFraming, 'fields'>): Placed[] => [
  ...(['function', 'prefix', 'unit', 'range'] as const).flatMap((name) => {
    const text = fields[name]
    return text === undefined ? [] : textPlaces(`framing.fields.${name}`, text)
  }),
  ...valuePlaces(fields.value),
  ...(fields.flags ?? []).flatMap(({ when }, index) => bitPlaces(`framing.fields.flags.${index}.when`, when)),
]

/** What `fixed` and `check` look at. */
export const markPlaces = ({ fixed, check }: FrameFraming): Placed[] => [
  ...(fixed === undefined ? [] : bitPlaces('framing.fixed', fixed)),
  ...(check === undefined ? [] : [
    { field: 'framing.check.from', from: check.from, to: check.from }, { field: 'framing.check.to', from: check.to, to: check.to },
    { field: 'framing.check.at', from: check.at, to: check.at + checkBytes(check) - 1 },
  ]),
]

/** Bytes a frame needs for these places, with so many before and after them that they may not reach into. */
const spanned = (places: readonly Placed[], before: number, after: number): number => places.reduce((least, { from, to }) =>
  Math.max(least, from < 0 ? before - from : 0, to >= 0 ? to + 1 + after : 0), before + after)

/** Bytes of the start and of the end that every frame carries. */
export const markWidths = (framing: FrameFraming): { start: number; end: number } => ({
  start: 'start' in framing ? (framing.start ?? '').length / 2 : 0, end: 'end' in framing ? (framing.end ?? '').length / 2 : 0,
})

/** The shortest frame that has every byte the description looks at: a shorter one has lost some. */
export const leastFrame = (framing: FrameFraming): number => {
  const { start, end } = markWidths(framing)
  const { check } = framing
  const checkBetween = check !== undefined && framing.kind === 'delimited-frames' ? spanned([{ field: 'framing.check.at', from: check.at, to: check.at + checkBytes(check) - 1 }], start, end) : 0
  const checkAfter = check !== undefined && check.at < 0 ? Math.max(end, -check.at) : end
  return Math.max(checkBetween, spanned(fieldPlaces(framing), start, checkAfter), spanned(markPlaces(framing), 0, 0))
}
