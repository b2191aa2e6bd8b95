/** What each cell of a line says: the function, the prefix, the unit, annunciators, or nothing that was typed. */
import { unitOf, type MeterFlag, type UnitSymbol } from '../reading'
import type { Known } from './common-parts'
import type { Cell } from './line-cells'

export type Role =
  | { kind: 'same'; text: string } | { kind: 'between'; texts: string[] } | { kind: 'other'; texts: string[] }
  | { kind: 'function' | 'prefix' | 'unit'; texts: string[] }
  | { kind: 'flags'; texts: string[]; letters: Map<string, MeterFlag> }

const prefixSpellings: Record<string, string[]> = { p: ['p', 'P'], n: ['n', 'N'], 'µ': ['u', 'µ', '\u03bc', 'U'], m: ['m'], '': [''], k: ['k', 'K'], M: ['M'], G: ['G'] }
const unitSpellings: Record<UnitSymbol, string[]> = {
  V: ['V', 'v'], Ω: ['Ohms', 'ohms', 'Ohm', 'ohm', 'OHM', 'Ω', '\u2126', 'O', 'R', 'o'], F: ['F', 'f'], H: ['H', 'h'], Hz: ['Hz', 'HZ', 'hz', 'H'],
  K: ['\u00b0C', '\u2103', 'degC', 'C', 'K'], A: ['A', 'a'],
}

export const sameEverywhere = (texts: readonly string[]): boolean => texts.every((text) => text === texts[0])

const dependsOn = (texts: readonly string[], keys: readonly string[]): boolean => {
  const seen = new Map<string, string>()
  return texts.every((text, at) => {
    const before = seen.get(keys[at] ?? '')
    seen.set(keys[at] ?? '', text)
    return before === undefined || before === text
  })
}

/** Different keys, different texts, so that the text tells which it is. */
export const tells = (texts: readonly string[], keys: readonly string[]): boolean =>
  dependsOn(texts, keys) && dependsOn(keys, texts)

type Units = readonly { prefix: string; unit: UnitSymbol }[]

/** "kOhm" at every example as prefix and unit, in the spellings in use; null when it is something else. */
const asMark = (texts: readonly string[], units: Units): { prefix: string[]; unit: string[] } | null => {
  const split = texts.map((text, at) => {
    const { prefix, unit } = units[at] ?? { prefix: '', unit: 'V' as const }
    const trimmed = text.trim()
    for (const written of unitSpellings[unit]) {
      const rest = trimmed.slice(0, trimmed.length - written.length)
      if (trimmed.endsWith(written) && (prefixSpellings[prefix] ?? []).includes(rest.trim())) return { prefix: rest, unit: written }
    }
    return null
  })
  return split.some((each) => each === null) ? null : { prefix: split.map((each) => each?.prefix ?? ''), unit: split.map((each) => each?.unit ?? '') }
}

const spelled = (texts: readonly string[], units: Units, of: 'prefix' | 'unit'): boolean => texts.every((text, at) => {
  const own = units[at]
  return own !== undefined && (of === 'prefix' ? prefixSpellings[own.prefix] ?? [] : unitSpellings[own.unit]).includes(text.trim())
})

const merged = (cells: readonly Cell[], from: number, count: number): string[] =>
  (cells[from]?.texts ?? []).map((_, at) => cells.slice(from, from + count).map(({ texts }) => texts[at] ?? '').join(''))

/** Letters that are there exactly when an annunciator is. */
const flagsIn = (texts: readonly string[], known: readonly Known[]): Map<string, MeterFlag> => {
  const letters = new Map<string, MeterFlag>()
  const flags = [...new Set(known.flatMap(({ shown }) => shown.flags))]
  for (const flag of flags) {
    if (known.every(({ shown }) => shown.flags.includes(flag))) continue
    const found = [...new Set(texts.join(''))].find((letter) => /[^ -]/.test(letter) && !letters.has(letter)
      && known.every(({ shown }, at) => shown.flags.includes(flag) === (texts[at] ?? '').includes(letter)))
    if (found !== undefined) letters.set(found, flag)
  }
  return letters
}

const longestUnit = 4

/** Roles from the narrowest meaning to the widest: a cell that could be two things is what the spelling says. */
export const rolesOf = (cells: readonly Cell[], known: readonly Known[], wanted: { prefix: boolean; functionFirst: boolean }): Role[] => {
  const units = known.map(({ shown, read }) => ({ prefix: wanted.prefix ? read.prefix : '', unit: unitOf[shown.function] }))
  const functions = known.map(({ shown }) => shown.function)
  const varied = new Set(units.map(({ prefix }) => prefix)).size > 1
  const roles: Role[] = []
  let at = 0
  while (at < cells.length) {
    const cell = cells[at]
    if (cell === undefined) break
    const { texts, kind } = cell
    const units1 = Array.from({ length: longestUnit }, (_, index) => longestUnit - index)
      .filter((count) => at + count <= cells.length && cells.slice(at, at + count).every((each) => each.kind === 'cell'))
    const unitRun = units1.find((count) => spelled(merged(cells, at, count), units, 'unit') && !sameEverywhere(merged(cells, at, count)))
    const mark = kind === 'cell' ? asMark(texts, units) : null
    const letters = kind === 'cell' ? flagsIn(texts, known) : new Map<string, MeterFlag>()
    const onePrefix = !varied && units[0]?.prefix !== undefined && units[0].prefix !== ''
    if (kind === 'between') roles.push({ kind: 'between', texts })
    else if (onePrefix && spelled(texts, units, 'prefix')) roles.push({ kind: 'prefix', texts })
    else if (onePrefix && mark !== null && mark.prefix[0] !== '') roles.push({ kind: 'prefix', texts: mark.prefix }, { kind: 'unit', texts: mark.unit })
    else if (sameEverywhere(texts)) roles.push({ kind: 'same', text: texts[0] ?? '' })
    else if (!wanted.functionFirst && varied && spelled(texts, units, 'prefix')) roles.push({ kind: 'prefix', texts })
    else if (!wanted.functionFirst && unitRun !== undefined) {
      roles.push({ kind: 'unit', texts: merged(cells, at, unitRun) })
      at += unitRun - 1
    } else if (!wanted.functionFirst && mark !== null) {
      if (!sameEverywhere(mark.prefix)) roles.push({ kind: 'prefix', texts: mark.prefix })
      else if (mark.prefix[0] !== '') roles.push({ kind: 'same', text: mark.prefix[0] ?? '' })
      roles.push({ kind: 'unit', texts: mark.unit })
    } else if (letters.size > 0) roles.push({ kind: 'flags', texts, letters })
    else if (dependsOn(texts, functions)) roles.push({ kind: 'function', texts })
    else if (varied && tells(texts, units.map(({ prefix }) => prefix))) roles.push({ kind: 'prefix', texts })
    else roles.push({ kind: 'other', texts })
    at += 1
  }
  return roles
}

/** Neighbouring cells that go with the function are one; of several the one that tells all functions apart is chosen. */
export const joinFunctions = (roles: readonly Role[]): Role[] => {
  const joined: Role[] = []
  for (const role of roles) {
    const before = joined.at(-1)
    const beforeThat = joined.at(-2)
    if (role.kind === 'function' && before?.kind === 'function') before.texts = before.texts.map((text, at) => text + (role.texts[at] ?? ''))
    else if (role.kind === 'function' && before?.kind === 'same' && beforeThat?.kind === 'function') {
      joined.pop()
      beforeThat.texts = beforeThat.texts.map((text, at) => text + before.text + (role.texts[at] ?? ''))
    } else if (role.kind === 'flags' && before?.kind === 'flags') {
      before.texts = before.texts.map((text, at) => text + (role.texts[at] ?? ''))
      for (const [letter, flag] of role.letters) if (!before.letters.has(letter)) before.letters.set(letter, flag)
    } else joined.push(role.kind === 'same' ? role : { ...role, texts: [...role.texts] } as Role)
  }
  return joined
}

