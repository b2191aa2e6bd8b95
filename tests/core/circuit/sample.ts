/** The shipped sample boards, one to change at will, and boards of other shapes that only the tests use. */
import { readFileSync } from 'node:fs'
import { checkBoard } from '../../../src-core/board/check'
import type { BoardType, MeasureStep } from '../../../src-core/board/board-type'
import { boardWithLimits, computedLimits } from '../../../src-core/circuit/computed-limits'
import { type Fault, parseFaults } from '../../../src-core/circuit/faults'
import type { Limits } from '../../../src-core/metrology/limits'

export const shippedBoards = ['vent-driver-node', 'vent-driver-node-d', 'soil-relay'] as const
export type ShippedBoard = (typeof shippedBoards)[number]
/** A sensor input, a motor drive with transistors and a bridge, and one of 40 parts; in fixtures/more-boards. */
export const moreBoards = ['frost-sensor', 'blind-drive', 'valve-hub'] as const
export const allBoards = [...shippedBoards, ...moreBoards] as const
export type AnyBoard = (typeof allBoards)[number]

const fileOf = (folder: AnyBoard, file: string): string => {
  const home = moreBoards.some((each) => each === folder) ? 'more-boards' : 'boards'
  return readFileSync(new URL(`../../../fixtures/${home}/${folder}/${file}`, import.meta.url), 'utf8')
}

export const sampleJson = (folder: AnyBoard = 'vent-driver-node'): Record<string, unknown> =>
  JSON.parse(fileOf(folder, 'board.json')) as Record<string, unknown>

export const samplePicture = (folder: AnyBoard): string => fileOf(folder, 'top.svg')

export const sampleBoard = (folder: AnyBoard = 'vent-driver-node'): BoardType => {
  const checked = checkBoard(sampleJson(folder), 'board.json')
  if ('problems' in checked) throw new Error(JSON.stringify(checked.problems))
  return checked.board
}

const limited = new Map<AnyBoard, BoardType>()
/** The same with limits in every step: those the file leaves to the app are computed. */
export const limitedBoard = (folder: AnyBoard): BoardType => {
  const board = sampleBoard(folder)
  const known = limited.get(folder) ?? boardWithLimits(board, computedLimits(board))
  limited.set(folder, known)
  return known
}

/** Typed or computed; @throws Error where the step has none. */
export const limitsOf = ({ id, limits }: Pick<MeasureStep, 'id' | 'limits'>): Limits => {
  if (limits === undefined) throw new Error(`${id} has no limits`)
  return limits
}

export const faultsOf = (board: BoardType, ...texts: string[]): Fault[] => {
  const parsed = parseFaults(board, texts)
  if ('problems' in parsed) throw new Error(parsed.problems.join(' '))
  return parsed.faults
}
