/** The shipped sample board and meter descriptions, as the tests use them. */
import { readFileSync } from 'node:fs'
import { checkBoard } from '../../../src-core/board/check'
import type { BoardType } from '../../../src-core/board/board-type'
import { type MeterDescription, meterDescription } from '../../../src-core/meter/description'

const read = (path: string): unknown => JSON.parse(readFileSync(new URL(`../../../fixtures/${path}`, import.meta.url), 'utf8'))

export const sampleBoard = (folder: 'vent-driver-node' | 'vent-driver-node-d' | 'soil-relay' = 'vent-driver-node'): BoardType => {
  const checked = checkBoard(read(`boards/${folder}/board.json`), 'board.json')
  if ('problems' in checked) throw new Error(JSON.stringify(checked.problems))
  return checked.board
}
export const shippedDescription = (file: `${string}.json`): MeterDescription =>
  meterDescription.parse(read(`meters/${file}`))
