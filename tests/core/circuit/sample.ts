/** The shipped sample board, and a small one to change at will. */
import { readFileSync } from 'node:fs'
import { checkBoard } from '../../../src-core/board/check'
import type { BoardType } from '../../../src-core/board/board-type'
import { type Fault, parseFaults } from '../../../src-core/circuit/faults'

export const sampleJson = (): Record<string, unknown> =>
  JSON.parse(readFileSync(new URL('../../../fixtures/boards/vent-driver-node/board.json', import.meta.url), 'utf8')) as Record<string,
    unknown>

export const sampleBoard = (): BoardType => {
  const checked = checkBoard(sampleJson(), 'board.json')
  if ('problems' in checked) throw new Error(JSON.stringify(checked.problems))
  return checked.board
}

export const faultsOf = (board: BoardType, ...texts: string[]): Fault[] => {
  const parsed = parseFaults(board, texts)
  if ('problems' in parsed) throw new Error(parsed.problems.join(' '))
  return parsed.faults
}
