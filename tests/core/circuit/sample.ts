/** The shipped sample boards, and one to change at will. */
import { readFileSync } from 'node:fs'
import { checkBoard } from '../../../src-core/board/check'
import type { BoardType } from '../../../src-core/board/board-type'
import { type Fault, parseFaults } from '../../../src-core/circuit/faults'

export const shippedBoards = ['vent-driver-node', 'vent-driver-node-d', 'soil-relay'] as const
export type ShippedBoard = (typeof shippedBoards)[number]

export const sampleJson = (folder: ShippedBoard = 'vent-driver-node'): Record<string, unknown> =>
  JSON.parse(readFileSync(new URL(`../../../fixtures/boards/${folder}/board.json`, import.meta.url), 'utf8')) as Record<string,
    unknown>

export const samplePicture = (folder: ShippedBoard): string =>
  readFileSync(new URL(`../../../fixtures/boards/${folder}/top.svg`, import.meta.url), 'utf8')

export const sampleBoard = (folder: ShippedBoard = 'vent-driver-node'): BoardType => {
  const checked = checkBoard(sampleJson(folder), 'board.json')
  if ('problems' in checked) throw new Error(JSON.stringify(checked.problems))
  return checked.board
}

export const faultsOf = (board: BoardType, ...texts: string[]): Fault[] => {
  const parsed = parseFaults(board, texts)
  if ('problems' in parsed) throw new Error(parsed.problems.join(' '))
  return parsed.faults
}
