/** A part's marking as it is read off the part or a parts list: "4k7 5 %", "22R J", "01C", "473", "104K", four to six colours. */
import { coloursIn, readBands } from './colour-code'
import { type PartKind, readLetterDigit } from './letter-digit-code'
import { markedTolerance, prefixOrTolerance } from './marked-tolerance'
import { inWords } from './engineering'
import { withoutDust } from './plain-figures'
import { isPreferred } from './preferred-values'
import { readDigitCode, readEia96, readPointCode } from './smd-code'
import { type Tolerance, toleranceOfLetter } from './tolerance-letters'

/** `tolerance` null: the marking states none. `how` says how it was read, for the person who typed it. */
export type Marking = { kind: PartKind; nominal: number; tolerance: Tolerance | null; how: string }

type Read = { kind: PartKind; nominal: number; how: string; /** What the code itself says. */ tolerance?: Tolerance }

export const unitOfKind = { resistor: 'Ω', capacitor: 'F', inductor: 'H' } as const
const kindOfUnit: Record<string, PartKind> = { Ω: 'resistor', F: 'capacitor', H: 'inductor' }
const small = { '': 0, p: -12, n: -9, µ: -6, u: -6, m: -3 }
const prefixes: Record<PartKind, Record<string, number>> = {
  resistor: { '': 0, m: -3, k: 3, K: 3, M: 6, G: 9, T: 12 }, capacitor: small, inductor: small,
}

const figureWithUnit = /^(\d+(?:\.\d*)?|\.\d+)([pnµumkKMGT]?)(Ω|F|H)?$/
const onePercent: Tolerance = { minus: 0.01, plus: 0.01 }

/** As plain figures only the common series are thought of: 104 Ω is an E192 value, and whoever types 104 means the code. */
const commonValue = (value: number): boolean => isPreferred(value, 'E24') || isPreferred(value, 'E96')

const example: Record<PartKind, string> = { resistor: '4k7, 4R7, 22R', capacitor: '4n7, 100n, 10 µF', inductor: '10µ, 4µ7, 1.5 mH' }

const said = (value: number, kind: PartKind): string => inWords(value, unitOfKind[kind], null)

/** Digits alone: a code, a plain figure, or both; then it is asked. */
const readDigits = (text: string, kind: PartKind): Read | { problem: string } => {
  const code = readDigitCode(text, kind)
  const how = `${text.length === 3 ? 'three' : 'four'}-digit code`
  if (kind !== 'resistor') {
    if (code !== null) return { kind, nominal: code, how }
    if (kind === 'capacitor' && /^\d{1,2}$/.test(text) && Number(text) > 0) return { kind, nominal: Number(`${text}e-12`), how: 'picofarads: one or two digits alone' }
    return { problem: `“${text}” says no unit: write it as ${example[kind]}.` }
  }
  const plain = Number(text)
  if (code === null || code === plain) return { kind, nominal: plain, how: 'ohms' }
  if (!commonValue(plain)) return { kind, nominal: code, how }
  return {
    problem: `“${text}” is ${said(code, kind)} as the code printed on a part, and ${said(plain, kind)} as a plain figure. Write the one you mean with its unit.`,
  }
}

const readCode = (text: string, kind: PartKind): Read | null => {
  const eia = kind === 'resistor' ? readEia96(text) : null
  if (eia !== null) return { kind, nominal: eia, how: 'EIA-96 code', tolerance: onePercent }
  const letters = readLetterDigit(text, kind)
  if (letters !== null) return { kind, nominal: letters, how: 'letter and digit code' }
  const point = kind === 'resistor' ? null : readPointCode(text, kind)
  return point === null ? null : { kind, nominal: point, how: `R for the point, in ${kind === 'capacitor' ? 'picofarads' : 'microhenries'}` }
}

/** Which kind the letters of a value stand for, where nobody said; null: it could be several. */
const likelyKind = (text: string): PartKind | null => {
  // 10 farads or 124 × 10⁵ Ω; 104 kΩ or 100 nF and 10 %.
  if (/^\d\d[FH]$|^\d{3,4}[KM]$/.test(text)) return null
  if (readLetterDigit(text, 'resistor') !== null || readEia96(text) !== null || /^[\d.]+[kKMGT]$/.test(text)) return 'resistor'
  return /[pnuµ]/.test(text) ? 'capacitor' : null
}

const readValue = (text: string, hint: PartKind | null): Read | { problem: string } => {
  const [, figure = '', prefix = '', unit = ''] = figureWithUnit.exec(text) ?? []
  const eia = hint === null && unit !== '' ? readEia96(text) : null
  if (eia !== null) {
    return { problem: `“${text}” is ${said(eia, 'resistor')} as the code printed on a resistor, and ${figure} ${unit} as a figure. Write the one you mean: the ohms, or “${figure}.0 ${unit}”.` }
  }
  const kind = hint ?? kindOfUnit[unit] ?? likelyKind(text)
  if (kind === null) return { problem: `“${text}” could be ohms, farads or henries: write its unit.` }
  const code = readCode(text, kind)
  if (code !== null) return code
  if (unit !== '' && kindOfUnit[unit] !== kind) return { problem: `“${text}” is in ${unit}, and a ${kind} is in ${unitOfKind[kind]}.` }
  const exponent = prefixes[kind][prefix]
  if (figure === '' || exponent === undefined) return { problem: `“${text}” is no value of a ${kind}. Write it as marked, such as ${example[kind]}.` }
  if (prefix === 'm' && kind === 'resistor' && unit === '') return { problem: `“${text}”: mega is a capital M, and milliohms are written mΩ.` }
  if (prefix === '' && unit === '') {
    if (!figure.includes('.')) return readDigits(figure, kind)
    return kind === 'resistor' ? { kind, nominal: Number(figure), how: 'ohms' } : { problem: `“${text}” says no unit: write it as ${example[kind]}.` }
  }
  return { kind, nominal: Number(`${figure}e${exponent}`), how: 'figure with its unit' }
}

const twoReadings = (text: string, { body, letter }: { body: string; letter: string }): string => {
  const tolerance = toleranceOfLetter(letter, null)
  const percent = `${withoutDust(100 * (tolerance?.plus ?? 0))} %`
  return `“${text}” is ${said(Number(`${body}e${prefixes.resistor[letter] ?? 0}`), 'resistor')}, and also ${said(Number(body), 'resistor')} with ${percent}. Write the one you mean: “${body}${letter}Ω”, or “${body} Ω ${percent}”.`
}

/** The same text in one spelling: no spaces within the value, one sign for ohms and for micro. */
const plainly = (text: string): string =>
  text.trim().replaceAll('\u2212', '-').replaceAll('\u00a0', ' ').replaceAll('\u202f', ' ').replaceAll('\u2126', 'Ω').replaceAll('μ', 'µ').replace(/ohms?\b/i, 'Ω')

/**
 * @param hint what the part is; null: told from the marking, where that can be.
 * @returns a sentence in `problem` when the text means nothing, or two things.
 */
export const parseMarking = (text: string, hint: PartKind | null): Marking | { problem: string } => {
  const plain = plainly(text)
  if (plain === '') return { problem: 'Write the value as the part is marked, such as 4k7 5 %.' }
  if (plain.includes(',') && coloursIn(plain) === null) return { problem: `“${text.trim()}”: write the decimal with a point; a comma could mean two things.` }
  const bands = coloursIn(plain)
  if (bands !== null) {
    if (hint !== null && hint !== 'resistor') return { problem: `“${text.trim()}”: colours are read for resistors only. Write the value, such as ${example[hint]}.` }
    const banded = readBands(bands)
    return 'problem' in banded ? banded : { kind: 'resistor', nominal: banded.ohms, tolerance: banded.tolerance, how: `${bands.length} colour bands` }
  }
  const both = prefixOrTolerance(plain, hint)
  if (both !== null) return { problem: twoReadings(text.trim(), both) }
  const { body, tolerance } = markedTolerance(plain, hint)
  if (body === '') return { problem: `“${text.trim()}” states a tolerance and no value. Write both, such as 4k7 5 %.` }
  const read = readValue(body, hint)
  if ('problem' in read) return read
  if (!Number.isFinite(read.nominal) || read.nominal < 0) return { problem: `“${text.trim()}” is beyond what a part can have.` }
  const stated = tolerance === null ? read.tolerance ?? null
    : tolerance.kind === 'stated' ? tolerance.tolerance : toleranceOfLetter(tolerance.letter, read.kind === 'capacitor' ? read.nominal : null)
  return { kind: read.kind, nominal: read.nominal, tolerance: stated, how: read.how }
}
