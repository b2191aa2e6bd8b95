/** Draws the schematic of a part and its neighbours: nets from top to bottom, each part across those it joins. */
import type { JSX } from 'react'
import type { BoardType } from '../../src-core/board/board-type'
import { surroundingsOf, type Schematic, type SchematicNet, type SchematicRow } from '../../src-core/board/surroundings'
import { SchematicSymbol } from './schematic-symbols'

/** Pixels. */
const [columnWidth, rowHeight, side, head, foot] = [96, 50, 62, 44, 40]
const x = (column: number): number => side + column * columnWidth
const y = (row: number): number => head + (row + 0.6) * rowHeight

export const Surroundings = ({ board, part }: { board: BoardType; part: string }): JSX.Element | null => {
  const schematic = surroundingsOf(board, part)
  if (schematic === null) return null
  const { nets, rows, left } = schematic
  const [width, height] = [2 * side + (nets.length - 1) * columnWidth + 30, head + (rows.length + 0.2) * rowHeight + foot]
  return (
    <figure className="surroundings" data-testid="surroundings">
      <figcaption>
        What {part} is connected to{left.length === 0 ? '' : `; further parts beside it are not drawn: ${left.slice(0, 8).join(', ')}${left.length > 8 ? ` and ${left.length - 8} more` : ''}`}
      </figcaption>
      <div className="schematic-frame" tabIndex={0} role="group" aria-label={inWords(schematic, part)}>
        <svg className="schematic" width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
          {nets.map((net) => <Net key={net.net} net={net} bottom={y(rows.length - 1) + 0.5 * rowHeight} />)}
          {rows.map((row) => <Row key={row.row} row={row} nets={nets} />)}
        </svg>
      </div>
    </figure>
  )
}

const inWords = ({ nets, rows }: Schematic, part: string): string => {
  const name = (column: number): string => nets[column]?.net ?? ''
  return `Schematic around ${part}: ${rows.map((row) => (row.shape === 'symbol' ? `${row.ref} between ${name(row.from)} and ${name(row.to)}`
    : `${row.ref} on ${row.legs.map(({ column }) => name(column)).join(', ')}`)).join('; ')}`
}

const Net = ({ net: { net, column, last, ground, further }, bottom }: { net: SchematicNet; bottom: number }): JSX.Element => (
  <g className="schematic-net" data-net={net}>
    <path d={`M${x(column)} ${head - 10}V${ground ? bottom : y(last)}`} />
    {further > 0 && !ground && <path className="further" d={`M${x(column)} ${y(last)}V${bottom}`} />}
    {ground && <path d={`M${x(column) - 14} ${bottom}h28M${x(column) - 9} ${bottom + 5}h18M${x(column) - 4} ${bottom + 10}h8`} />}
    <text x={x(column)} y={column % 2 === 0 ? head - 28 : head - 14} textAnchor="middle">{net}</text>
  </g>
)

const Row = ({ row, nets }: { row: SchematicRow; nets: SchematicNet[] }): JSX.Element => (
  <g className={row.focus ? 'schematic-part focus' : 'schematic-part'} data-part={row.ref}>
    {row.shape === 'symbol' ? <Across row={row} /> : <Box row={row} nets={nets} />}
  </g>
)

const Dot = ({ column, at }: { column: number; at: number }): JSX.Element => <circle className="dot" cx={x(column)} cy={at} r="3.5" />

const Across = ({ row }: { row: Extract<SchematicRow, { shape: 'symbol' }> }): JSX.Element => {
  const at = y(row.row)
  const [from, to] = [x(row.from), x(row.to)]
  const turned = to < from
  // In the first gap of its span, clear of the nets it passes.
  const middle = Math.min(from, to) + columnWidth / 2
  if (row.from === row.to) return <text x={from + 8} y={at + 4}>{row.label}, both ends on one net</text>
  return (
    <>
      <path className="wire" d={`M${Math.min(from, to)} ${at}H${middle - 20}M${middle + 20} ${at}H${Math.max(from, to)}`} />
      <g transform={`translate(${middle} ${at})${turned ? ' scale(-1 1)' : ''}`}><SchematicSymbol kind={row.symbol} /></g>
      <Dot column={row.from} at={at} />
      <Dot column={row.to} at={at} />
      <text x={middle} y={at - 14} textAnchor="middle">{row.label}</text>
    </>
  )
}

const Box = ({ row: { row, ref, legs }, nets }: { row: Extract<SchematicRow, { shape: 'box' }>; nets: SchematicNet[] }): JSX.Element => {
  const at = y(row)
  const columns = legs.map(({ column }) => column)
  const passing = nets.filter(({ column, last, ground, further }) => column > Math.min(...columns) && column < Math.max(...columns) && !columns.includes(column)
    && (row <= last || ground || further > 0))
  const [left, right] = [x(Math.min(...columns)) - 34, x(Math.max(...columns)) + 34]
  return (
    <>
      <rect className="chip" x={left} y={at - 13} width={right - left} height="26" rx="2" />
      {passing.map(({ net, column }) => <path key={net} className="passing" d={`M${x(column)} ${at - 13}v26`} />)}
      {legs.map(({ column, pin }) => (
        <g key={pin}>
          <circle className="dot" cx={x(column)} cy={at - 13} r="3.5" />
          <text className="pin" x={x(column)} y={at + 5} textAnchor="middle">{pin}</text>
        </g>
      ))}
      <text x={left + 2} y={at - 20}>{ref}</text>
    </>
  )
}
