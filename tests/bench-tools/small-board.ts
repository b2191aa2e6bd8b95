/** A small board of a user's own in the data folder, so that a test can make whole runs in seconds. */
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { boardType, type BoardType } from '../../src-core/board/board-type'

export const mistValve: BoardType = boardType.parse({
  schema: 'probewright/board-type/1', id: 'mist-valve', name: 'Mist valve', revision: 'A', hazard: 'extra-low', mainsReferenced: false,
  pictures: [{ id: 'top', file: 'top.svg', width: 320, height: 260 }], nets: ['IN', 'VALVE', 'GND'],
  testPoints: [
    { id: 'J1.1', net: 'IN', picture: 'top', x: 60, y: 120, words: 'terminal plus' },
    { id: 'R1.2', net: 'VALVE', picture: 'top', x: 260, y: 120, words: 'right end of R1' },
    { id: 'J1.2', net: 'GND', picture: 'top', x: 60, y: 200, words: 'terminal minus' },
  ],
  parts: [
    { ref: 'R1', kind: 'resistor', value: 220, tolerance: 0.02, pins: { 1: 'IN', 2: 'VALVE' } },
    { ref: 'D1', kind: 'diode', pins: { anode: 'GND', cathode: 'VALVE' } },
  ],
  energyStores: [{ id: 'rail', red: 'R1.2', black: 'J1.2', kind: 'rail', dischargeOhms: 100 }],
  disconnect: ['valve cable'],
  sequence: { id: 'input', version: 1, steps: [
    { kind: 'look', id: 'look', title: 'Look it over', words: 'Anything burnt, cracked, wet or corroded?' },
    { kind: 'measure', id: 'r1', title: 'R1 series', red: 'J1.1', black: 'R1.2', function: 'resistance',
      limits: { nominal: 220, tolerance: 0.08 }, parts: ['R1'] },
    { kind: 'measure', id: 'd1-reverse', title: 'D1 reverse', red: 'R1.2', black: 'J1.2', function: 'diode', limits: 'open',
      parts: ['D1'] },
    { kind: 'do', id: 'coating', title: 'Coating back', words: 'Seal the scraped places.' },
  ] },
})

export const putBoard = (dataFolder: string, board: BoardType): void => {
  const folder = join(dataFolder, 'boards', board.id)
  mkdirSync(folder, { recursive: true })
  writeFileSync(join(folder, 'board.json'), JSON.stringify(board))
  for (const { file, width, height } of board.pictures) {
    writeFileSync(join(folder, file),
      `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}"><rect width="${width}" height="${height}" fill="#2c5a45"/></svg>`)
  }
}
