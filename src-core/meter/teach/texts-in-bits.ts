/** Which bits say a text, such as the function or the prefix: those that depend on nothing but it. */
import type { Rule, TextField } from '../framing'
import { bitsAt, dependsOnly, isConstant, type Columns } from './bit-columns'

export type FoundText = { field: TextField; bits: number[] }
/** The text at each example; null where the display says none. */
export type Texts = readonly (string | null)[]

const mostRules = 64
const mostBits = 24
const masks = [0x0f, 0xf0, 0xff, 0x07, 0x0e, 0x1c, 0x38, 0x70, 0xe0, 0x03, 0x06, 0x0c, 0x18, 0x30, 0x60, 0xc0]

const distinct = (texts: Texts): string[] => [...new Set(texts.flatMap((text) => (text === null ? [] : [text])))]

/** One rule for each combination of these bits that was seen. Null when a combination stood for two texts. */
const rulesOver = (columns: Columns, bits: readonly number[], texts: Texts): Rule[] | null => {
  const seen = new Map<string, { text: string; at: number }>()
  for (const [at, text] of texts.entries()) {
    if (text === null) continue
    const key = bits.map((bit) => columns[bit]?.[at]).join('')
    const before = seen.get(key)
    if (before !== undefined && before.text !== text) return null
    if (before === undefined) seen.set(key, { text, at })
  }
  return seen.size > mostRules ? null : [...seen.values()].map(({ text, at }) => ({ when: bitsAt(columns, bits, at), text }))
}

/** Every bit that depends on the text alone, taken together. */
const byOwnBits = (columns: Columns, free: readonly number[], texts: Texts): FoundText | null => {
  const bits = free.filter((bit) => !isConstant(columns[bit] ?? '') && dependsOnly(columns[bit] ?? '', texts)).slice(0, mostBits)
  if (bits.length === 0) return null
  const rules = rulesOver(columns, bits, texts)
  return rules === null ? null : { field: { kind: 'rules', rules }, bits }
}

/** Combinations must have been seen again with other figures, or any byte that never repeats would explain everything. */
const provenBy = (rules: readonly Rule[], texts: Texts): boolean =>
  texts.filter((text) => text !== null).length - rules.length >= Math.max(2, distinct(texts).length - 1)

/** A code in some neighbouring bits of one byte, alone or together with what says the function. */
const byCode = (columns: Columns, free: readonly number[], texts: Texts, beside: readonly number[]): FoundText | null => {
  const isFree = new Set(free)
  const bytes = Array.from({ length: columns.length / 8 }, (_, byte) => byte)
  const found = bytes.flatMap((byte) => masks.flatMap((mask) => {
    const bits = [0, 1, 2, 3, 4, 5, 6, 7].filter((bit) => (mask >> bit) & 1).map((bit) => byte * 8 + bit)
      .filter((bit) => !isConstant(columns[bit] ?? ''))
    if (bits.length === 0 || bits.some((bit) => !isFree.has(bit))) return []
    const all = [...new Set([...beside, ...bits])]
    const rules = rulesOver(columns, all, texts)
    return rules === null || !provenBy(rules, texts) ? [] : [{ field: { kind: 'rules', rules } as const, bits: all }]
  }))
  return found.sort((a, b) => a.field.rules.length - b.field.rules.length || b.bits.length - a.bits.length)[0] ?? null
}

/**
 * Null when no bits say it. Each combination of bits is a rule of its own: one that was never seen is a reject, not a guess.
 * @param beside bits that already say the function
 */
export const textInBits = (columns: Columns, free: readonly number[], texts: Texts, beside: readonly number[] = []): FoundText | null => {
  const [only, ...others] = distinct(texts)
  if (only === undefined) return null
  if (others.length === 0) return { field: { kind: 'constant', text: only }, bits: [] }
  return byOwnBits(columns, free, texts) ?? byCode(columns, free, texts, []) ?? (beside.length === 0 ? null : byCode(columns, free, texts, beside))
}
