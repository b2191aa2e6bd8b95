/** Lays cells out in columns, row under row: long words wrap, rows go on overleaf, and a table's heads stand again on every page. */
import type { Cell, Column } from '../../../../src-core/record/print/block'
import type { Flow } from './paper'
import { inks, type Style } from './pen'
import { spaced } from './tagged-lines'
import type { Tagged } from './tags'
import { wrapped } from './wrap'

export type Place = { x: number; width: number; side: 'left' | 'right' }
type Laid = { lines: string[]; style: Style; place: Place }[]

const gap = 8

/** Side by side, with a gap between two. */
export const placesOf = (columns: readonly Pick<Column, 'share' | 'side'>[], left: number, width: number): Place[] => {
  const whole = columns.reduce((sum, { share }) => sum + share, 0)
  const room = width - gap * (columns.length - 1)
  return columns.reduce<Place[]>((places, { share, side = 'left' }) => {
    const last = places.at(-1)
    return [...places, { x: last === undefined ? left : last.x + last.width + gap, width: (room * share) / whole, side }]
  }, [])
}

const weights = { plain: { face: 'regular', colour: inks.text }, strong: { face: 'strong', colour: inks.text }, faint: { face: 'regular', colour: inks.faint } } as const

const laidOut = ({ pen }: Flow, cells: readonly Cell[], places: readonly Place[], size: number): Laid => places.map((place, index) => {
  const cell = cells[index] ?? ''
  const { text, weight } = typeof cell === 'string' ? { text: cell, weight: 'plain' as const } : cell
  const style: Style = { ...weights[weight], size }
  pen.check(text, style.face)
  return { place, style, lines: wrapped(text, place.width, (each) => pen.width(each, style)) }
})

const linesIn = (row: Laid): number => Math.max(1, ...row.map(({ lines }) => lines.length))

/** @param tagged the element of each cell; none: what stands here is no content. */
const writeLines = (flow: Flow, row: Laid, from: number, count: number, size: number, tagged: readonly Tagged[] | null): void => {
  const { pen } = flow
  for (const [column, { lines, style, place }] of row.entries()) {
    const now = spaced(lines).slice(from, from + count)
    if (now.every((line) => line === '')) continue
    const draw = (): void => {
      for (const [index, line] of now.entries()) {
        const x = place.side === 'left' ? place.x : place.x + place.width - pen.width(lines[from + index] ?? '', style)
        pen.write(line, x, flow.y + index * pen.lineHeight(size), style)
      }
    }
    const cell = tagged?.[column]
    if (cell === undefined) pen.tags.apart(draw)
    else pen.tags.mark(cell, draw)
  }
}

const rule = ({ pen, left, width, y }: Flow, thickness: number): void => {
  pen.tags.apart(() => { pen.pdf.lineWidth(thickness).strokeColor(inks.line).moveTo(left, y).lineTo(left + width, y).stroke() })
}

/** A row of a table with its cells, `draw` writing into them; the first of a row without heads above is its own head. */
const inRow = ({ pen: { tags } }: Flow, cells: readonly ('head' | 'label' | 'cell')[], draw: (tagged: readonly Tagged[]) => void): void => {
  tags.within(tags.open('TR'), () => {
    const tagged = cells.map((is) => (is === 'cell' ? tags.open('TD') : tags.open('TH', { scope: is === 'head' ? 'Column' : 'Row' })))
    draw(tagged)
  })
}

type Table = { columns: readonly Column[]; rows: readonly (readonly Cell[])[] }
const padding = 2.6
const tableSize = 7.4

/** A table of so few rows is not torn. */
const fewRows = 7

/** What must not be torn from a heading above it: heads and first row, or the whole of a short table. */
export const tableBegins = (flow: Flow, { columns, rows }: Table): number => {
  const places = placesOf(columns, flow.left, flow.width)
  const heads = laidOut(flow, columns.map(({ title }) => ({ text: title, weight: 'strong' })), places, tableSize)
  const height = (row: Laid): number => linesIn(row) * flow.pen.lineHeight(tableSize) + 2 * padding
  const first = height(heads) + height(laidOut(flow, rows[0] ?? [], places, tableSize))
  const whole = rows.length > fewRows ? Infinity : rows.reduce((sum, cells) => sum + height(laidOut(flow, cells, places, tableSize)), height(heads))
  const page = flow.bottom - flow.top
  return whole < page / 3 ? whole : Math.min(page / 2, first)
}

export const drawTable = (flow: Flow, table: Table): void => {
  flow.need(tableBegins(flow, table))
  const { tags } = flow.pen
  tags.within(tags.open('Table'), () => { drawRows(flow, table) })
  flow.y += 8
}

const drawRows = (flow: Flow, { columns, rows }: Table): void => {
  const { pen } = flow
  const places = placesOf(columns, flow.left, flow.width)
  const heads = laidOut(flow, columns.map(({ title }) => ({ text: title, weight: 'strong' })), places, tableSize)
  const high = pen.lineHeight(tableSize)

  const drawHeads = (tagged: readonly Tagged[] | null): void => {
    const height = linesIn(heads) * high + 2 * padding
    pen.tags.apart(() => { pen.pdf.rect(flow.left - 3, flow.y, flow.width + 6, height).fill(inks.band) })
    flow.y += padding
    writeLines(flow, heads, 0, linesIn(heads), tableSize, tagged)
    flow.y += height - padding
  }
  const overleaf = (): void => {
    flow.newPage()
    drawHeads(null)
  }

  inRow(flow, columns.map(() => 'head'), drawHeads)
  const laid = rows.map((cells) => laidOut(flow, cells, places, tableSize))
  const heightOf = (row: Laid | undefined): number => linesIn(row ?? []) * high + 2 * padding
  for (const [index, row] of laid.entries()) {
    const count = linesIn(row)
    // The last row takes the one before it along rather than stand overleaf alone.
    const together = [heightOf(row), ...(index > 0 && index === laid.length - 2 ? [heightOf(row) + heightOf(laid.at(-1))] : [])]
    if (together.some((height) => flow.y + height > flow.bottom && height < (flow.bottom - flow.top) / 2)) overleaf()
    // A row taller than half a page is torn between two lines rather than leaving a hole.
    inRow(flow, columns.map(() => 'cell'), (tagged) => {
      for (let from = 0; from < count;) {
        let fit = Math.floor((flow.bottom - flow.y - 2 * padding) / high)
        if (fit < 1) {
          overleaf()
          fit = Math.floor((flow.bottom - flow.y - 2 * padding) / high)
        }
        const now = Math.min(fit, count - from)
        flow.y += padding
        writeLines(flow, row, from, now, tableSize, tagged)
        flow.y += now * high + padding
        from += now
      }
    })
    rule(flow, 0.4)
  }
}

const factsSize = 8.4
const oneColumn = [{ share: 14.1 }, { share: 85.9 }]

/** Label and words; torn overleaf line by line where they are long. @returns where they end, without a gap. */
export const drawFacts = (flow: Flow, rows: readonly (readonly string[])[], columns: 1 | 2, left = flow.left, width = flow.width): void => {
  const { tags } = flow.pen
  tags.within(tags.open('Table'), () => { drawPairs(flow, rows, columns, left, width) })
}

const drawPairs = (flow: Flow, rows: readonly (readonly string[])[], columns: 1 | 2, left: number, width: number): void => {
  const { pen } = flow
  const shares = columns === 1 ? oneColumn : [{ share: 14.6 }, { share: 35.4 }, { share: 14.6 }, { share: 35.4 }]
  const places = placesOf(shares, left, width)
  const high = pen.lineHeight(factsSize)
  for (let at = 0; at < rows.length; at += columns) {
    const cells = rows.slice(at, at + columns).flatMap(([label = '', words = '']): Cell[] => [{ text: label, weight: 'faint' }, words])
    const row = laidOut(flow, cells, places, factsSize)
    const count = linesIn(row)
    inRow(flow, cells.map((_, index) => (index % 2 === 0 ? 'label' : 'cell')), (tagged) => {
      for (let from = 0; from < count;) {
        if (flow.y + high > flow.bottom) flow.newPage()
        const now = Math.min(count - from, Math.floor((flow.bottom - flow.y) / high))
        writeLines(flow, row, from, now, factsSize, tagged)
        flow.y += now * high
        from += now
      }
    })
    flow.y += 2.5
  }
}

/** So high they would be in one piece. */
export const factsHeight = (flow: Flow, rows: readonly (readonly string[])[], width: number): number => {
  const places = placesOf(oneColumn, flow.left, width)
  return rows.reduce((sum, cells) => sum + linesIn(laidOut(flow, cells, places, factsSize)) * flow.pen.lineHeight(factsSize) + 2.5, 0)
}
