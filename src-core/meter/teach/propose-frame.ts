/** Proposes a description for frames: which bits are the figure, its sign and point, the function, the prefix and the annunciators. */
import type { MeterDescription } from '../description'
import { fieldPlaces } from '../frame-places'
import type { FrameFields, FrameFraming, TextField, ValueField } from '../framing'
import type { MeterFlag, MeterFunction } from '../reading'
import { bitName, bitsAt, columnsOf, fits, isConstant, type Columns } from './bit-columns'
import { flagLetters, functionsOf, prefixesOf, type Known } from './common-parts'
import { hexOfBytes } from './example'
import { asciiFigure, bcdFigure, floatFigure, integerFigure, shownDigits, type FoundFigure } from './figures-in-bytes'
import { findCheck, type FoundCheck } from './find-check'
import type { CutFrames } from './find-framing'
import { segmentsInBits, type FoundSegments } from './segments-in-bits'
import { digitsOf, largestFirstDigit, type TeachSetup } from './setup'
import { isFigure } from './shown'
import { textInBits, type FoundText } from './texts-in-bits'

export type ProposedFrame = {
  description: MeterDescription
  /** "3.7" and what it is. */
  meaning: [string, string][]
  /** How much of the figure could still be something else. */
  open: number
  check: string | null
}
export type FrameResult = ProposedFrame | { because: string }

type Figure = { value: ValueField; bits: Map<number, string>; own: number[]; signed: boolean; pointed: boolean; open: number; words: string }

const bytesBits = (bytes: readonly number[]): number[] => bytes.flatMap((byte) => [0, 1, 2, 3, 4, 5, 6, 7].map((bit) => byte * 8 + bit))
const nibblesBits = (nibbles: FoundFigure['nibbles']): number[] =>
  nibbles.flatMap(({ byte, nibble }) => [0, 1, 2, 3].map((bit) => byte * 8 + bit + (nibble === 'high' ? 4 : 0)))

const fromBytes = (found: FoundFigure, words: string): Figure => {
  const own = [...bytesBits(found.bytes), ...nibblesBits(found.nibbles)]
  const named = found.nibbles.length > 0
    ? found.nibbles.flatMap((nibble, digit) => nibblesBits([nibble]).map((bit) => [bit, `digit ${digit + 1}`] as const))
    : own.map((bit) => [bit, 'figure'] as const)
  return { value: found.field, own, bits: new Map(named), signed: found.signed, pointed: found.pointed, open: found.open, words }
}

const fromSegments = ({ field, meaning, open }: FoundSegments): Figure =>
  ({ value: field, own: [...meaning.keys()], bits: meaning, signed: false, pointed: false, open: open.length, words: 'a picture of the display: seven segments a digit' })

const mostMarked = 4

/** Bytes at either end that never change, and that neither a field nor the check value looks at: how many begin a frame, how many end it. */
const marksOf = (cut: CutFrames, columns: Columns, looked: ReadonlySet<number>): { begins: number; ends: number } => {
  const length = cut.frames[0]?.length ?? 0
  const same = (at: number): boolean => !looked.has(at) && bytesBits([at]).every((bit) => isConstant(columns[bit] ?? ''))
  let begins = 0
  while (cut.indexed === null && begins < Math.min(mostMarked, length - 2) && same(begins)) begins += 1
  let ends = 0
  while (cut.indexed === null && ends < Math.min(mostMarked, length - begins - 1) && same(length - 1 - ends)) ends += 1
  return { begins, ends }
}

const markBytes = (length: number, { begins, ends }: { begins: number; ends: number }): number[] =>
  [...Array.from({ length: begins }, (_, at) => at), ...Array.from({ length: ends }, (_, at) => length - 1 - at)]

const figureIn = (cut: CutFrames, columns: Columns, free: readonly number[], known: readonly Known[], counts: number): Figure | null => {
  const all = known.flatMap(({ read: { figure } }, at) => {
    const frame = cut.frames[at]
    return isFigure(figure) && frame !== undefined ? [{ frame, figure }] : []
  })
  const most = Math.max(0, ...all.map(({ figure }) => figure.digits.length))
  const width = Math.max(most, digitsOf(counts))
  if (new Set(all.map(({ figure }) => figure.count)).size < 3) return null
  const ascii = asciiFigure(all)
  if (ascii !== null) return fromBytes(ascii, 'digits in ASCII')
  const widths = [...new Set([width, most])]
  for (const each of widths) {
    const bcd = bcdFigure(all, each)
    if (bcd !== null) return fromBytes(bcd, 'one digit a half byte (BCD)')
  }
  const marks = new Set(markBytes(cut.frames[0]?.length ?? 0, marksOf(cut, columns, new Set())))
  for (const each of widths) {
    const segments = segmentsInBits(columns, free, marks, known.map(({ read }) => shownDigits(read.figure, each)), each, largestFirstDigit(counts))
    if (segments !== null) return fromSegments(segments)
  }
  const integer = integerFigure(all)
  if (integer !== null) return fromBytes(integer, 'a whole number')
  const float = floatFigure(all)
  return float === null ? null : fromBytes(float, 'a floating-point number')
}

const textsOf = (known: readonly Known[], of: (each: Known) => string | null): (string | null)[] => known.map(of)

/** The digits as they stand while the display is out of range, else a bit of its own. Null: no way to tell it was found. */
const overloadWhen = (columns: Columns, figure: Figure, known: readonly Known[], free: readonly number[]): ValueField['overloadWhen'] | null => {
  const over = known.flatMap(({ read }, at) => (isFigure(read.figure) ? [] : [at]))
  if (over.length === 0) return null
  const own = free.filter((bit) => !isConstant(columns[bit] ?? '') && fits(columns[bit] ?? '', known.map(({ read }) => !isFigure(read.figure))))
  const places = figure.own
  const patternAt = (at: number): string => places.map((bit) => columns[bit]?.[at]).join('')
  const patterns = new Map(over.map((at) => [patternAt(at), at]))
  const asFigure = known.some(({ read }, at) => isFigure(read.figure) && patterns.has(patternAt(at)))
  if (!asFigure && patterns.size <= 4) return [...patterns.values()].map((at) => bitsAt(columns, places, at))
  return own.length === 0 ? null : over.slice(0, 1).map((at) => bitsAt(columns, own.slice(0, 4), at))
}

const framingOf = (cut: CutFrames, columns: Columns, figure: Figure, check: FoundCheck | null, fields: FrameFields): FrameFraming => {
  const [first] = cut.frames
  const length = first?.length ?? 0
  const looked = fieldPlaces({ fields }).flatMap(({ from, to }) => Array.from({ length: to - from + 1 }, (_, at) => from + at))
  const marks = marksOf(cut, columns, new Set([...looked, ...check?.bytes ?? []]))
  const { begins, ends } = marks
  // Inside the figure a bit that never changed is no mark of a frame; elsewhere what was never seen stays a reject.
  const isSegments = figure.value.kind === 'segments'
  const taken = new Set([...(isSegments ? [] : figure.own), ...bytesBits(check?.bytes ?? []), ...bytesBits(markBytes(length, marks))])
  const fixedBits = columns.flatMap((column, bit) => (isConstant(column) && !taken.has(bit) && (cut.indexed === null || (bit & 7) < 4) ? [bit] : []))
  const common = {
    ...(fixedBits.length === 0 ? {} : { fixed: bitsAt(columns, fixedBits, 0) }), ...(check === null ? {} : { check: check.check }), fields,
  }
  if (cut.indexed !== null) return { kind: 'indexed-frames', length, firstIndex: cut.indexed, ...common }
  const frame = first ?? new Uint8Array(0)
  return {
    kind: 'frames', length, ...(begins === 0 ? {} : { start: hexOfBytes(frame.slice(0, begins)) }), ...(ends === 0 ? {} : { end: hexOfBytes(frame.slice(length - ends)) }), ...common,
  }
}

const flagRules = (columns: Columns, free: readonly number[], known: readonly Known[]): { flag: MeterFlag; bits: number[] }[] => {
  const flags = [...new Set(known.flatMap(({ shown }) => shown.flags))]
  return flags.flatMap((flag) => {
    const wanted = known.map(({ shown }) => shown.flags.includes(flag))
    const bits = wanted.every(Boolean) ? [] : free.filter((bit) => fits(columns[bit] ?? '', wanted))
    return bits.length === 0 ? [] : [{ flag, bits: bits.slice(0, 4) }]
  })
}

const named = (meaning: Map<number, string>, found: FoundText | null, word: string): void => {
  for (const bit of found?.bits ?? []) {
    const before = meaning.get(bit)
    meaning.set(bit, before === undefined || before === word ? word : `${before}, ${word}`)
  }
}

/** Every pair of displays must agree with the bits found, or there is no proposal. */
export const proposeFrame = (cut: CutFrames, known: readonly Known[], setup: TeachSetup): FrameResult => {
  const columns = columnsOf(cut.frames)
  const check = findCheck(cut.frames)
  const checkBitsAll = new Set(bytesBits(check?.bytes ?? []))
  const all = columns.map((_, bit) => bit).filter((bit) => !checkBitsAll.has(bit) && (cut.indexed === null || (bit & 7) < 4))
  const figure = figureIn(cut, columns, all, known, setup.counts)
  if (figure === null) return { because: 'Which bits are the figure is not known yet.' }
  const own = new Set(figure.own)
  const free = all.filter((bit) => !own.has(bit))

  const signs = known.map(({ read: { figure: is } }) => (isFigure(is) ? is.negative : is === 'negative-overload'))
  const negativeBits = figure.signed || !signs.includes(true) ? [] : free.filter((bit) => fits(columns[bit] ?? '', signs))
  if (!figure.signed && signs.includes(true) && negativeBits.length === 0) return { because: 'No bit goes with the minus sign at every display.' }
  const afterSign = free.filter((bit) => !negativeBits.includes(bit))

  const functionText = textInBits(columns, afterSign, textsOf(known, ({ shown }) => shown.function))
  if (functionText === null) return { because: 'No bits go with the function at every display.' }
  const decimals = figure.pointed ? null : textInBits(columns, afterSign, textsOf(known, ({ read: { figure: is } }) => (isFigure(is) ? String(is.decimals) : null)), functionText.bits)
  if (!figure.pointed && decimals === null) return { because: 'No bits go with the place of the point at every display.' }
  const prefix = textInBits(columns, afterSign, textsOf(known, ({ read }) => read.prefix), functionText.bits)
  if (prefix === null) return { because: 'No bits go with the prefix (k, M, m …) at every display.' }
  const celsius = known.some(({ read }) => read.celsius)
  const unit = celsius ? textInBits(columns, afterSign, textsOf(known, ({ read }) => (read.celsius ? 'C' : '')), functionText.bits) : null
  const flags = flagRules(columns, afterSign, known)
  const over = overloadWhen(columns, figure, known, afterSign)

  const value: ValueField = {
    ...figure.value,
    ...(negativeBits.length === 0 ? {} : { negative: Object.fromEntries(negativeBits.map((bit) => [bitName(bit), 1] as const)) }),
    ...(decimals === null ? {} : { decimals: decimals.field }),
    ...(over === null || over === undefined ? {} : { overloadWhen: over }),
  }
  const plainPrefix = prefix.field.kind === 'constant' && prefix.field.text === ''
  const fields: FrameFields = {
    function: functionText.field, value, ...(plainPrefix ? {} : { prefix: prefix.field }), ...(unit === null ? {} : { unit: unit.field }),
    ...(flags.length === 0 ? {} : { flags: flags.map(({ flag, bits }) => ({ when: Object.fromEntries(bits.map((bit) => [bitName(bit), 1] as const)), text: flagLetters[flag] })) }),
  }
  const meaning = new Map(figure.bits)
  for (const bit of negativeBits) meaning.set(bit, 'minus sign')
  named(meaning, decimals, 'point')
  named(meaning, prefix, 'prefix')
  named(meaning, functionText, 'function')
  for (const { flag, bits } of flags) for (const bit of bits) meaning.set(bit, flag)
  for (const bit of checkBitsAll) meaning.set(bit, 'check value')
  for (const [bit, column] of columns.entries()) if (!meaning.has(bit) && !isConstant(column)) meaning.set(bit, 'changes, not explained')

  const taught = new Map(known.map(({ shown }): [MeterFunction, string] => [shown.function, shown.function]))
  const description: MeterDescription = {
    schema: 'probewright/meter-description/1', name: setup.name, port: setup.port, framing: framingOf(cut, columns, figure, check, fields),
    overload: [], prefixes: plainPrefix ? {} : prefixesOf(new Map(textsUsed(prefix.field).map((text) => [text, text]))),
    flags: Object.fromEntries(flags.map(({ flag }) => [flagLetters[flag], flag])), functions: functionsOf(known, taught, setup),
  }
  return {
    description, open: figure.open, check: check === null ? null : checkWords(check),
    meaning: [...meaning].sort((a, b) => a[0] - b[0]).map(([bit, word]) => [bitName(bit), word]),
  }
}

const textsUsed = (field: TextField): string[] => (field.kind === 'constant' ? [field.text] : field.kind === 'rules' ? field.rules.map(({ text }) => text) : [])

const checkWords = ({ check }: FoundCheck): string => {
  const over = `bytes ${check.from + 1} to ${check.to + 1}`
  switch (check.kind) {
    case 'xor': return `exclusive or of ${over}`
    case 'sum': return `${check.bits}-bit sum of ${over}`
    case 'crc': return `CRC-${check.bits} of ${over}, polynomial ${check.polynomial}`
  }
}

