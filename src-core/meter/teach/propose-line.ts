/** Proposes a description for lines: a pattern whose named groups hold the figure, the function, prefix, unit and annunciators. */
import type { MeterDescription } from '../description'
import { latin1, lineBytes, lineText } from '../line-bytes'
import { unitOf, type MeterFlag, type MeterFunction, type UnitSymbol } from '../reading'
import { functionsOf, prefixesOf, type Known } from './common-parts'
import { findLineCheck } from './find-check'
import type { CutLines } from './find-framing'
import { byColumns, bySigns, type CutLine } from './line-cells'
import { joinFunctions, rolesOf, sameEverywhere, tells, type Role } from './line-roles'
import { digitsOf, type TeachSetup } from './setup'
import { isFigure } from './shown'

export type LineResult = { description: MeterDescription } | { because: string }

const escaped = (text: string): string => [...text].map((c) => {
  const code = c.charCodeAt(0)
  if (code < 32 || code === 127) return `\\x${code.toString(16).padStart(2, '0')}`
  return /[.*+?^${}()|[\]\\/]/.test(c) ? `\\${c}` : c
}).join('')

const distinct = (texts: readonly string[]): string[] => [...new Set(texts)].sort((a, b) => b.length - a.length || (a < b ? -1 : 1))
const oneOf = (texts: readonly string[]): string => distinct(texts).map(escaped).join('|')

const inClass = (texts: readonly string[]): string => {
  const characters = [...new Set(texts.join(''))].sort()
  const ranges = [['0-9', /\d/], ['A-Z', /[A-Z]/], ['a-z', /[a-z]/]] as const
  const rest = characters.filter((c) => !/[\dA-Za-z]/.test(c)).map((c) => (/[\\\]^-]/.test(c) ? `\\${c}` : c.charCodeAt(0) < 32 ? escaped(c) : c))
  return `[${ranges.filter(([, is]) => characters.some((c) => is.test(c))).map(([range]) => range).join('')}${rest.join('')}]`
}

const widthsOf = (texts: readonly string[]): string => {
  const lengths = texts.map(({ length }) => length)
  const [least, most] = [Math.min(...lengths), Math.max(...lengths)]
  return least === most ? `{${least}}` : `{${least},${most}}`
}

const mostListed = 12
/** What was seen and nothing else; of what never repeats, its kind of characters. */
const seen = (texts: readonly string[]): string =>
  distinct(texts).length <= mostListed ? `(?:${oneOf(texts)})` : `${inClass(texts)}${widthsOf(texts)}`

/** The check value may be any: in the letters it was seen in. */
const checkPattern = (digits: readonly string[], behind: readonly string[]): string => {
  const all = digits.join('')
  const [upper, lower] = [/[A-F]/.test(all), /[a-f]/.test(all)]
  return `[0-9${upper || !lower ? 'A-F' : ''}${lower || !upper ? 'a-f' : ''}]${widthsOf(digits)}${behind.join('') === '' ? '' : seen(behind)}`
}

const betweenPattern = (texts: readonly string[]): string => {
  if (sameEverywhere(texts)) return escaped(texts[0] ?? '')
  return texts.every((text) => /^ *$/.test(text)) ? ` ${widthsOf(texts)}` : `(?:${oneOf(texts)})`
}

type Overloads = { overload: string[]; negativeOverload: string[] }

const overloadsIn = (values: readonly string[], known: readonly Known[]): Overloads => {
  const of = (kind: 'overload' | 'negative-overload'): string[] => distinct(values.filter((_, at) => known[at]?.read.figure === kind).map((text) => text.trim()))
  const found = { overload: of('overload'), negativeOverload: of('negative-overload') }
  return { ...found, overload: found.overload.length === 0 ? ['OL'] : found.overload }
}

/** A figure says itself where its point and its sign stand: any figure in the characters and the width of those seen is taken. */
const valuePattern = ({ value, by }: CutLine, known: readonly Known[], { counts }: TeachSetup): string => {
  const figures = value.filter((_, at) => isFigure(known[at]?.read.figure ?? 'overload'))
  const over = value.filter((_, at) => !isFigure(known[at]?.read.figure ?? 'overload'))
  const characters = [...new Set(figures.join(''))].filter((c) => !/\d/.test(c))
  const own = inClass(['0', ...characters])
  const most = Math.max(...figures.map(({ length }) => length), digitsOf(counts) + characters.length)
  const width = by === 'columns' ? `{${figures[0]?.length ?? 1}}` : `{1,${most}}`
  // Until it was shown, the letters OL in the place of the figure are taken for out of range: they can be nothing else.
  const named = over.length > 0 ? over : ['OL'.padStart(by === 'columns' ? figures[0]?.length ?? 0 : 0)]
  return `(?<value>${own}${width}|${oneOf(named)})`
}

const pick = (roles: readonly Role[], functions: readonly MeterFunction[]): { roles: Role[]; texts: string[] } | null => {
  const asGroup = (index: number, texts: string[]): { roles: Role[]; texts: string[] } => ({
    texts, roles: roles.map((role, at) => (at === index ? { kind: 'function', texts } : role.kind === 'function' ? { kind: 'other', texts: role.texts } : role)),
  })
  for (const kind of ['function', 'unit'] as const) {
    const index = roles.findIndex((role) => role.kind === kind && tells(role.texts.map((text) => text.trim()), functions) && role.texts.every((text) => text.trim() !== ''))
    const role = roles[index]
    if (role?.kind === 'function' || role?.kind === 'unit') return asGroup(index, role.texts)
  }
  // One function only: a word that always stands there names it.
  if (new Set(functions).size > 1) return null
  const index = roles.findIndex((role) => role.kind === 'same' && /[^\d\s,;:=.+-]/.test(role.text))
  const role = roles[index]
  return role?.kind === 'same' ? asGroup(index, functions.map(() => role.text)) : null
}

const describe = (cut: CutLine, lines: readonly string[], { delimiter }: CutLines, known: readonly Known[], setup: TeachSetup, functionFirst: boolean, tail: string): MeterDescription | null => {
  const functions = known.map(({ shown }) => shown.function)
  const wanted = { prefix: !cut.inBaseUnit, functionFirst }
  const before = joinFunctions(rolesOf(cut.before, known, { ...wanted, functionFirst: functionFirst || cut.by === 'columns' }))
  const after = joinFunctions(rolesOf(cut.after, known, wanted))
  const chosen = pick([...before, ...after], functions)
  if (chosen === null) return null
  const prefixes = new Map<string, string>()
  const units = new Map<string, UnitSymbol>()
  const flags = new Map<string, MeterFlag>()
  const used = new Set<string>()
  const pattern = (role: Role): string => {
    if (role.kind === 'same') return escaped(role.text)
    if (role.kind === 'between') return betweenPattern(role.texts)
    if (role.kind === 'other' || used.has(role.kind)) return seen(role.texts)
    used.add(role.kind)
    role.texts.forEach((text, at) => {
      const own = known[at]
      if (own === undefined) return
      if (role.kind === 'prefix') prefixes.set(text.trim(), own.read.prefix)
      if (role.kind === 'unit') units.set(text.trim(), unitOf[own.shown.function])
    })
    if (role.kind === 'flags') {
      for (const [letter, flag] of role.letters) flags.set(letter, flag)
      return `(?<flags>${inClass(role.texts)}${widthsOf(role.texts)})`
    }
    return `(?<${role.kind}>${oneOf(role.texts)})`
  }
  const wholePrefix = prefixes
  const parts = chosen.roles.map(pattern)
  const source = `^${parts.slice(0, before.length).join('')}${valuePattern(cut, known, setup)}${parts.slice(before.length).join('')}${tail}$`
  const keys = new Map(functions.map((is, at): [MeterFunction, string] => [is, (chosen.texts[at] ?? '').trim()]))
  const { overload, negativeOverload } = overloadsIn(cut.value, known)
  const constantPrefix = !cut.inBaseUnit && !used.has('prefix') && known.some(({ read }) => read.prefix !== '')
  if (constantPrefix) return null
  const longest = Math.max(...lines.map(({ length }) => length))
  const plainUnits = [...units].filter(([text, unit]) => text !== unit && text !== 'C' && text !== '\u00b0C' && text !== 'K')
  return {
    schema: 'probewright/meter-description/1', name: setup.name, port: setup.port,
    framing: { kind: 'lines', delimiter, maxBytes: Math.min(128, Math.max(16, longest + 8)) }, pattern: source,
    overload, ...(negativeOverload.length === 0 ? {} : { negativeOverload }), prefixes: prefixesOf(wholePrefix),
    ...(plainUnits.length === 0 ? {} : { units: Object.fromEntries(plainUnits) }), flags: Object.fromEntries(flags), functions: functionsOf(known, keys, setup),
  }
}

/** `fits` says whether a description reads every example as it was typed. */
export const proposeLine = (cut: CutLines, known: readonly Known[], setup: TeachSetup, fits: (description: MeterDescription) => boolean): LineResult => {
  const whole = cut.lines.map((line) => {
    const text = latin1(line)
    const bytes = lineBytes(text)
    return bytes === null ? text : lineText(text, bytes)
  })
  const check = findLineCheck(cut.lines)
  const behind = check?.behind ?? 0
  const kept = (check?.digits ?? 0) + behind
  const lines = whole.map((line) => line.slice(0, line.length - kept))
  const tail = check === null ? '' : checkPattern(whole.map((line) => line.slice(line.length - kept, line.length - behind)), whole.map((line) => line.slice(line.length - behind, line.length)))
  const cuts = [byColumns(lines, known), bySigns(lines, known)].flatMap((each) => (each === null ? [] : [each]))
  for (const each of cuts) {
    for (const functionFirst of [false, true]) {
      const description = describe(each, whole, cut, known, setup, functionFirst, tail)
      if (description !== null && fits(description)) return { description }
    }
  }
  return { because: cuts.length === 0 ? 'The figure that was typed does not stand in the line at every display.' : 'What in the line says the function and the prefix is not known yet.' }
}
