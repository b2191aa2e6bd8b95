/** The small schematic: every part and net drawn is the board's own, nothing covers anything, and every sample board can be drawn. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { type BoardType, boardType } from '../../../src-core/board/board-type'
import { placesOf } from '../../../src-core/board/part-places'
import { mostParts, surroundingsOf } from '../../../src-core/board/surroundings'

const boards: BoardType[] = ['fixtures/boards', 'fixtures/more-boards'].flatMap((folder) =>
  readdirSync(folder).map((name) => boardType.parse(JSON.parse(readFileSync(join(folder, name, 'board.json'), 'utf8')))))
const vent = boards.find(({ id, revision }) => id === 'vent-driver-node' && revision === 'C') as BoardType

const around = (board: BoardType, ref: string) => {
  const schematic = surroundingsOf(board, ref)
  if (schematic === null) throw new Error(`${board.id} has no ${ref}`)
  return schematic
}

describe('the schematic of a part and its neighbours', () => {
  it('draws every part of every board with the nets of its own pins, and no more parts than there is room for', () => {
    for (const board of boards) for (const { ref } of board.parts) {
      const { nets, rows } = around(board, ref)
      const refs = new Set(rows.map((row) => row.ref))
      expect(refs.has(ref), `${board.id} ${ref}`).toBe(true)
      expect(refs.size).toBeLessThanOrEqual(mostParts)
      for (const row of rows) {
        const pins = board.parts.find((part) => part.ref === row.ref)?.pins ?? {}
        const joined: [string, number][] = row.shape === 'box' ? row.legs.map(({ pin, column }) => [pin, column]) : [[row.pins[0], row.from], [row.pins[1], row.to]]
        for (const [pin, column] of joined) expect(nets[column]?.net, `${board.id} ${ref}: ${row.ref} pin ${pin}`).toBe(pins[pin])
      }
    }
  })

  it('gives each row and each net a line of its own, and ends a net where its last part is', () => {
    for (const board of boards) for (const { ref } of board.parts) {
      const { nets, rows } = around(board, ref)
      expect(rows.map(({ row }) => row)).toEqual(rows.map((_, at) => at))
      expect(nets.map(({ column }) => column)).toEqual(nets.map((_, at) => at))
      for (const { first, last } of nets) expect(first >= 0 && first <= last && last < rows.length, `${board.id} ${ref}`).toBe(true)
    }
  })

  it('puts beside a series resistor what shares its nets, its value with it, the ground last', () => {
    const { nets, rows } = around(vent, 'R4')
    expect(rows[0]).toMatchObject({ shape: 'symbol', symbol: 'resistor', ref: 'R4', label: 'R4 220 Ω', focus: true })
    expect(rows.filter(({ focus }) => focus)).toHaveLength(1)
    expect(rows.map(({ ref }) => ref)).toEqual(expect.arrayContaining(['D4', 'T1', 'R7', 'D1']))
    expect(nets.at(-1)).toMatchObject({ net: 'GND', ground: true })
  })

  it('draws a diode from its anode to its cathode, and a choke winding by winding', () => {
    const { nets, rows } = around(vent, 'T1')
    const net = (column: number): string => nets[column]?.net ?? ''
    const windings = rows.flatMap((row) => (row.ref === 'T1' && row.shape === 'symbol' ? [[net(row.from), net(row.to)]] : []))
    expect(windings).toEqual(placesOf(vent.parts.find(({ ref }) => ref === 'T1') ?? vent.parts[0] as never).map(({ from, to }) => [vent.parts.find(({ ref }) => ref === 'T1')?.pins[from], vent.parts.find(({ ref }) => ref === 'T1')?.pins[to]]))
    const diode = rows.find((row) => row.ref === 'D4')
    expect(diode?.shape === 'symbol' ? [net(diode.from), net(diode.to)] : []).toEqual(['GND', 'A'])
  })

  it('knows no part that the board has not', () => {
    expect(surroundingsOf(vent, 'R99')).toBeNull()
  })
})
