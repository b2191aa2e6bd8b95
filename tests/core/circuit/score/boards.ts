/** The boards a diagnosis is scored on: every sample board, those the app ships and those kept for tests. */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { BoardType } from '../../../../src-core/board/board-type'
import { checkBoard } from '../../../../src-core/board/check'

const folders = ['fixtures/boards', 'fixtures/more-boards']

/** `root`: the project's folder. In the order of their names, so that a seed means the same board on every machine. */
export const scoredBoards = (root: string): BoardType[] => folders.flatMap((folder) => {
  const path = join(root, folder)
  return existsSync(path) ? readdirSync(path).sort().map((name) => join(path, name, 'board.json')).filter((file) => existsSync(file)) : []
}).map((file) => {
  const checked = checkBoard(JSON.parse(readFileSync(file, 'utf8')), file)
  if ('problems' in checked) throw new Error(checked.problems.map(({ field, message }) => `${file}: ${field}: ${message}`).join('\n'))
  return checked.board
})
