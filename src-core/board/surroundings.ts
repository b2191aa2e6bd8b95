/**
 * A small schematic of one part and what lies beside it, laid out from the nets alone: each net a vertical line, each part a row between the
 * nets it joins. Units are steps of a grid; who draws it chooses their size.
 */
import type { BoardType, Part } from './board-type'
import type { PartKind } from './part'
import { inWords } from '../quantity/engineering'
import { placesOf } from './part-places'

export type SymbolKind = 'resistor' | 'thermistor' | 'capacitor' | 'coil' | 'bead' | 'diode' | 'zener' | 'schottky' | 'suppressor' | 'led' | 'two-way'
  | 'varistor' | 'gas-tube' | 'fuse' | 'link' | 'contact' | 'closed-contact'

/** `from` and `to`: columns of nets; a diode's anode is at `from`. */
export type SchematicRow =
  | { shape: 'symbol'; ref: string; /** With its value. */ label: string; symbol: SymbolKind; row: number; from: number; to: number; pins: [string, string]; focus: boolean }
  | { shape: 'box'; ref: string; row: number; legs: { column: number; pin: string }[]; focus: boolean }

export type SchematicNet = { net: string; column: number; /** First and last row it is joined in. */ first: number; last: number; ground: boolean; /** Leads on to parts that are not drawn. */ further: number }
export type Schematic = { nets: SchematicNet[]; rows: SchematicRow[]; /** Neighbours that there was no room for. */ left: string[] }

export const mostParts = 8
const mostBoxLegs = 5

const symbolOf: Partial<Record<PartKind, SymbolKind>> = {
  resistor: 'resistor', ntc: 'thermistor', ptc: 'thermistor', capacitor: 'capacitor', coil: 'coil', choke: 'coil', transformer: 'coil', 'ferrite-bead': 'bead',
  diode: 'diode', rectifier: 'diode', zener: 'zener', schottky: 'schottky', tvs: 'suppressor', led: 'led', 'two-way-protector': 'two-way', 'thyristor-protector': 'two-way',
  varistor: 'varistor', 'gas-tube': 'gas-tube', fuse: 'fuse', link: 'link', contact: 'contact', 'closed-contact': 'closed-contact',
}

/** What the value of a kind is in; of the others it is not shown. */
const unitOfValue: Partial<Record<PartKind, 'Ω' | 'F' | 'V'>> = { resistor: 'Ω', ntc: 'Ω', ptc: 'Ω', capacitor: 'F', zener: 'V', tvs: 'V', varistor: 'V' }
const labelOf = ({ ref, kind, value }: Part): string => {
  const unit = unitOfValue[kind]
  return unit === undefined || value === undefined ? ref : `${ref} ${inWords(value, unit, null)}`
}

const groundNames = /^(GND|0V|VSS|AGND|DGND|PGND|COM)$/i
const netsOf = (part: Part): string[] => [...new Set(Object.values(part.pins))]

/** The closest first: joined by more nets, by nets with fewer pins on them; the ground joins everything and says little. */
const neighboursOf = (board: BoardType, own: Part): Part[] => {
  const pinsOn = (net: string): number => board.parts.reduce((sum, { pins }) => sum + Object.values(pins).filter((one) => one === net).length, 0)
  const near = netsOf(own)
  const closeness = (other: Part): number => netsOf(other).filter((net) => near.includes(net)).reduce((sum, net) => sum + (groundNames.test(net) ? 0.1 : 1) / pinsOn(net), 0)
  return board.parts.map((part, at) => ({ part, at, close: part.ref === own.ref ? 0 : closeness(part) })).filter(({ close }) => close > 0)
    .sort((a, b) => b.close - a.close || a.at - b.at).map(({ part }) => part)
}

/** Pins whose nets are drawn anyway, and further ones as far as there is room. */
const legsOf = (part: Part, known: readonly string[]): [string, string][] => {
  const pins = Object.entries(part.pins)
  return [...pins.filter(([, net]) => known.includes(net)), ...pins.filter(([, net]) => !known.includes(net))].slice(0, mostBoxLegs)
}

type Unnumbered<Row> = Row extends unknown ? Omit<Row, 'row'> : never
type Drawn = { part: Part; pieces: { kind: 'symbol'; pins: [string, string]; nets: [string, string] }[] | { kind: 'box'; legs: [string, string][] } }

const drawnOf = (part: Part, known: readonly string[]): Drawn => {
  const places = symbolOf[part.kind] === undefined ? [] : placesOf(part)
  return places.length === 0 ? { part, pieces: { kind: 'box', legs: legsOf(part, known) } }
    : { part, pieces: places.map(({ from, to }) => ({ kind: 'symbol', pins: [from, to], nets: [part.pins[from] ?? '', part.pins[to] ?? ''] })) }
}

const usedBy = ({ pieces }: Drawn): string[] => ('kind' in pieces ? pieces.legs.map(([, net]) => net) : pieces.flatMap(({ nets }) => nets))

/** Columns in the order that keeps the wires short: each net near those it is joined to, the ground last. */
const columnsOf = (drawn: readonly Drawn[]): string[] => {
  const nets = [...new Set(drawn.flatMap(usedBy))]
  const place = new Map(nets.map((net, at) => [net, at]))
  for (let round = 0; round < 12; round += 1) {
    for (const net of nets) {
      const beside = drawn.map(usedBy).filter((used) => used.includes(net)).flatMap((used) => used.filter((one) => one !== net)).filter((one) => !groundNames.test(one))
      const middle = beside.reduce((sum, one) => sum + (place.get(one) ?? 0), 0) / Math.max(1, beside.length)
      if (beside.length > 0) place.set(net, 0.5 * (place.get(net) ?? 0) + 0.5 * middle)
    }
    ;[...nets].sort((a, b) => (place.get(a) ?? 0) - (place.get(b) ?? 0)).forEach((net, at) => place.set(net, at))
  }
  const rank = (net: string): number => (groundNames.test(net) ? Infinity : place.get(net) ?? 0)
  return [...nets].sort((a, b) => (rank(a) === rank(b) ? 0 : rank(a) - rank(b)))
}

/** Null where the board has no such part. */
export const surroundingsOf = (board: BoardType, ref: string): Schematic | null => {
  const own = board.parts.find((part) => part.ref === ref)
  if (own === undefined) return null
  const neighbours = neighboursOf(board, own)
  const shown = [own, ...neighbours.slice(0, mostParts - 1)]
  const known = [...new Set([...netsOf(own), ...shown.flatMap((part) => (symbolOf[part.kind] === undefined ? [] : netsOf(part)))])]
  const drawn = shown.map((part) => drawnOf(part, known))
  const columns = columnsOf(drawn)
  const column = (net: string): number => columns.indexOf(net)
  const rows = drawn.flatMap(({ part, pieces }): Unnumbered<SchematicRow>[] => {
    const focus = part.ref === ref
    if ('kind' in pieces) return [{ shape: 'box', ref: part.ref, legs: pieces.legs.map(([pin, net]) => ({ column: column(net), pin })).sort((a, b) => a.column - b.column), focus }]
    return pieces.map(({ pins, nets }) => ({ shape: 'symbol', ref: part.ref, label: labelOf(part), symbol: symbolOf[part.kind] ?? 'resistor', from: column(nets[0]), to: column(nets[1]), pins, focus }))
  }).map((row, at): SchematicRow => ({ ...row, row: at }))
  const joins = (row: SchematicRow): number[] => (row.shape === 'box' ? row.legs.map((leg) => leg.column) : [row.from, row.to])
  return {
    rows, left: neighbours.slice(mostParts - 1).map((part) => part.ref),
    nets: columns.map((net, at) => {
      const joined = rows.filter((row) => joins(row).includes(at)).map(({ row }) => row)
      const further = board.parts.filter((part) => !shown.includes(part) && Object.values(part.pins).includes(net)).length
      return { net, column: at, first: Math.min(...joined), last: Math.max(...joined), ground: groundNames.test(net), further }
    }),
  }
}
