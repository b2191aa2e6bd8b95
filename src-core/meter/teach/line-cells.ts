/** Cuts lines into cells that stand in the same place at every display: by fixed columns, or by the signs between them. */
import { readFigure } from '../figure'
import { isFigure } from './shown'
import type { Known } from './common-parts'

/** What stands in one place of the line, one text an example. */
export type Cell = { kind: 'between' | 'cell'; texts: string[] }
export type CutLine = {
  before: Cell[]; value: string[]; after: Cell[]
  by: 'columns' | 'signs'
  /** The figure is in the base unit: no prefix is needed to read it. */
  inBaseUnit: boolean
}

type Span = { from: number; to: number; base: boolean }

const figurePattern = /(?:[+-] *)?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,2})?/g

/** Where the typed figure could stand in the line. */
const spansOf = (line: string, { read: { figure, power } }: Known): Span[] => {
  if (!isFigure(figure)) return []
  return [...line.matchAll(figurePattern)].flatMap((match) => {
    const text = match[0]
    const is = readFigure(text)
    const from = match.index
    if (is === null || Math.abs(is.count) !== figure.count || text.includes('-') !== figure.negative) return []
    const shown = is.power === -figure.decimals
    const base = is.power === power - figure.decimals
    return shown || base ? [{ from, to: from + text.length, base: !shown }] : []
  })
}

const between = /[ ,;:=|/\t]+/g

/** "RES, 1" → between "", cell "RES", between ", ", cell "1", between "". */
const parts = (text: string): string[] => {
  const found: string[] = ['']
  let at = 0
  for (const match of text.matchAll(between)) {
    if (match.index === 0) found[0] = match[0]
    else found.push(text.slice(at, match.index), match[0])
    at = match.index + match[0].length
  }
  if (at < text.length) found.push(text.slice(at), '')
  return found
}

const cellsOf = (rows: readonly string[][]): Cell[] | null => {
  const most = Math.max(...rows.map(({ length }) => length))
  const padded = rows.map((row) => [...row, ...Array.from({ length: most - row.length }, () => '')])
  return Array.from({ length: most }, (_, index) => ({ kind: index % 2 === 0 ? 'between' : 'cell', texts: padded.map((row) => row[index] ?? '') }))
}

const columnsIn = (texts: readonly string[]): Cell[] =>
  Array.from({ length: texts[0]?.length ?? 0 }, (_, at) => ({ kind: 'cell', texts: texts.map((text) => text.charAt(at)) }))

/** The candidate that all examples share: the one whose end stands in the same column, or behind as many signs. */
const shared = (lines: readonly string[], known: readonly Known[], placeOf: (line: string, span: Span) => string): (Span | null)[] | null => {
  const each = lines.map((line, at) => {
    const own = known[at]
    return own === undefined ? [] : spansOf(line, own)
  })
  const figures = each.filter((_, at) => isFigure(known[at]?.read.figure ?? 'overload'))
  const places = figures.map((spans, index) => ({ index, spans })).flatMap(({ spans }) => spans).map((span) => span)
  if (places.length === 0 || figures.some((spans) => spans.length === 0)) return null
  const keys = new Set(lines.flatMap((line, at) => (each[at] ?? []).map((span) => placeOf(line, span))))
  for (const key of keys) {
    const chosen = lines.map((line, at) => (each[at] ?? []).find((span) => placeOf(line, span) === key) ?? null)
    if (chosen.every((span, at) => span !== null || !isFigure(known[at]?.read.figure ?? 'overload'))) return chosen
  }
  return null
}

const baseOf = (spans: readonly (Span | null)[]): boolean => spans.some((span) => span?.base === true)

export const byColumns = (lines: readonly string[], known: readonly Known[]): CutLine | null => {
  if (lines.some(({ length }) => length !== lines[0]?.length)) return null
  const spans = shared(lines, known, (_, { to }) => String(to))
  if (spans === null) return null
  const found = spans.flatMap((span) => (span === null ? [] : [span]))
  const from = Math.min(...found.map((span) => span.from))
  const to = Math.max(...found.map((span) => span.to))
  if (lines.some((line, at) => spans[at] !== null && line.slice(from, to).trim() !== line.slice(spans[at]?.from, spans[at]?.to).trim())) return null
  return {
    before: columnsIn(lines.map((line) => line.slice(0, from))), value: lines.map((line) => line.slice(from, to)), after: columnsIn(lines.map((line) => line.slice(to))),
    by: 'columns', inBaseUnit: baseOf(spans),
  }
}

const signsBefore = (line: string, at: number): number => Math.floor((parts(line.slice(0, at)).length - 1) / 2)
const joinedParts = (row: readonly string[]): string => row.join('')

export const bySigns = (lines: readonly string[], known: readonly Known[]): CutLine | null => {
  const spans = shared(lines, known, (line, { from }) => String(signsBefore(line, from)))
  if (spans === null) return null
  const rows = lines.map((line, at) => {
    const span = spans[at]
    return span === null || span === undefined ? null : { before: parts(line.slice(0, span.from)), value: line.slice(span.from, span.to), after: parts(line.slice(span.to)) }
  })
  const figures = rows.flatMap((row) => (row === null ? [] : [row]))
  const [one] = figures
  if (one === undefined || figures.some(({ before }) => before.length !== one.before.length)) return null
  const behind = Math.max(...figures.map(({ after }) => after.length))
  const whole = rows.map((row, at) => {
    if (row !== null) return row
    // Out of range: as many cells in front as at a figure, the next is what stands for it.
    const all = parts(lines[at] ?? '')
    const split = one.before.length
    const value = all[split] ?? ''
    return { before: all.slice(0, split), value, after: all.slice(split + 1) }
  })
  if (whole.some(({ after, value }) => after.length > behind || joinedParts([value]) === '')) return null
  const [before, after] = [cellsOf(whole.map((row) => row.before)), cellsOf(whole.map((row) => row.after))]
  return before === null || after === null ? null : { before, value: whole.map(({ value }) => value), after, by: 'signs', inBaseUnit: baseOf(spans) }
}
