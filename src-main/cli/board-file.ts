/** Reads a board file, or any JSON, named on the command line. */
import { existsSync, statSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { checkBoard } from '../../src-core/board/check'
import type { BoardType } from '../../src-core/board/board-type'
import { shapeProblems } from '../../src-core/board/shape-problems'
import { type ReadingsFile, readingsFile } from '../../src-core/circuit/readings-file'
import { readJson } from '../service/library-files'
import { Refused } from './surroundings'

const listed = (problems: readonly { field: string; message: string }[]): string => problems.map(({ field, message }) => `  ${field}: ${message}`).join('\n')

/** @throws Refused where there is no such file, or it is not JSON. */
export const jsonNamed = (named: string, calledFrom: string): unknown => {
  const file = resolve(calledFrom, named)
  if (!existsSync(file)) throw new Refused(`There is no file ${named}. Correct the name or the folder.`)
  try {
    return readJson(file).json
  } catch (error) {
    throw new Refused(`${named} cannot be read: ${error instanceof Error ? error.message : String(error)}`, { cause: error })
  }
}

/** A file, or the folder that holds board.json. @param made what is checked of the JSON read. @throws Refused, with all that is wrong with the board. */
export const boardNamedByFile = (named: string, calledFrom: string, made = (json: unknown): unknown => json): BoardType => {
  const path = resolve(calledFrom, named)
  const file = existsSync(path) && statSync(path).isDirectory() ? join(named, 'board.json') : named
  const checked = checkBoard(made(jsonNamed(file, calledFrom)), file)
  if ('problems' in checked) throw new Refused(`${named} is not sound:\n${listed(checked.problems)}`)
  return checked.board
}

/** @throws Refused where it is not sound, or of another board. */
export const readingsNamedByFile = (named: string, calledFrom: string, { board, boardFile }: { board: BoardType; boardFile: string }): ReadingsFile => {
  const json = jsonNamed(named, calledFrom)
  const parsed = readingsFile.safeParse(json)
  if (!parsed.success) throw new Refused(`${named} is not sound:\n${listed(shapeProblems(parsed.error, json))}`)
  const { id, revision } = parsed.data.board
  if (id !== board.id || revision !== board.revision) {
    throw new Refused(`${named} is of board ${id} revision ${revision}, and ${boardFile} is ${board.id} revision ${board.revision}. Name the files that belong together.`)
  }
  return parsed.data
}
