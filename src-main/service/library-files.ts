/** Reads the library's files: board types and meter descriptions, built in and the user's own; a bad one is listed and hurts no other. */
import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { checkBoard } from '../../src-core/board/check'
import type { BoardType } from '../../src-core/board/board-type'
import { checkDescription } from '../../src-core/meter/check'
import type { MeterDescription } from '../../src-core/meter/description'
import { pictureOf, type Picture } from './assets'

export type LibraryBoard = { board: BoardType; sha256: string; file: string; builtIn: boolean; picture: string | null }
export type LibraryDescription = { description: MeterDescription; file: string; builtIn: boolean }
export type Problem = { file: string; message: string }
export type LibraryContents = { boards: LibraryBoard[]; descriptions: LibraryDescription[]; problems: Problem[]; pictures: Picture[] }

const largestFile = 2 * 1024 * 1024
const largestPicture = 20 * 1024 * 1024

const clock = (): number => performance.now()
const sizedRead = (file: string, most: number): Buffer => {
  const { size } = statSync(file)
  if (size > most) throw new Error(`it is ${size} bytes, more than the ${most} allowed`)
  return readFileSync(file)
}

const foldersIn = (folder: string): string[] =>
  existsSync(folder) ? readdirSync(folder, { withFileTypes: true }).filter((entry) => entry.isDirectory()).map((entry) => join(folder, entry.name)).sort() : []

const jsonIn = (folder: string): string[] =>
  existsSync(folder) ? readdirSync(folder).filter((name) => name.endsWith('.json')).map((name) => join(folder, name)).sort() : []

/** Parses, and says where a JSON file is broken. @throws Error in plain words. */
export const readJson = (file: string): { json: unknown; bytes: Buffer } => {
  let bytes: Buffer
  try {
    bytes = sizedRead(file, largestFile)
  } catch (error) {
    throw new Error(`The file cannot be read: ${error instanceof Error ? error.message : String(error)}.`, { cause: error })
  }
  try {
    return { json: JSON.parse(bytes.toString('utf8')), bytes }
  } catch (error) {
    throw new Error(`The file is not JSON: ${error instanceof Error ? error.message : String(error)}. Look for a missing comma or quote there.`, { cause: error })
  }
}

const readBoard = (file: string, builtIn: boolean, into: LibraryContents): void => {
  const { json, bytes } = readJson(file)
  const checked = checkBoard(json, file)
  if ('problems' in checked) {
    into.problems.push(...checked.problems.map(({ field, message }) => ({ file, message: field === '' ? message : `${field}: ${message}` })))
    return
  }
  const { board } = checked
  const twin = into.boards.find((each) => each.board.id === board.id && each.board.revision === board.revision)
  if (twin !== undefined) {
    into.problems.push({ file, message: `id and revision: ${board.id} revision ${board.revision} is already in ${twin.file}. Give this one another revision.` })
    return
  }
  const pictures = board.pictures.map((each) => pictureOf(each.file, sizedRead(join(dirname(file), each.file), largestPicture)))
  into.pictures.push(...pictures)
  into.boards.push({ board, sha256: createHash('sha256').update(bytes).digest('hex'), file, builtIn, picture: pictures[0]?.path ?? null })
}

const readDescription = (file: string, builtIn: boolean, into: LibraryContents): void => {
  const checked = checkDescription(readJson(file).json, file, clock)
  if ('problems' in checked) {
    into.problems.push(...checked.problems.map(({ field, message }) => ({ file, message: field === '' ? message : `${field}: ${message}` })))
    return
  }
  const twin = into.descriptions.find((each) => each.description.name === checked.description.name)
  if (twin !== undefined) {
    into.problems.push({ file, message: `name: “${checked.description.name}” is already in ${twin.file}. Give this one another name.` })
    return
  }
  into.descriptions.push({ description: checked.description, file, builtIn })
}

const guarded = (file: string, into: LibraryContents, read: () => void): void => {
  try {
    read()
  } catch (error) {
    into.problems.push({ file, message: error instanceof Error ? error.message : String(error) })
  }
}

/** Every board.json one folder below boards, and every JSON file in meters; the built-in ones first. */
export const readLibrary = (builtInFolder: string, dataFolder: string): LibraryContents => {
  const contents: LibraryContents = { boards: [], descriptions: [], problems: [], pictures: [] }
  for (const [folder, builtIn] of [[builtInFolder, true], [dataFolder, false]] as const) {
    for (const board of foldersIn(join(folder, 'boards'))) {
      const file = join(board, 'board.json')
      if (existsSync(file)) guarded(file, contents, () => readBoard(file, builtIn, contents))
    }
    for (const file of jsonIn(join(folder, 'meters'))) guarded(file, contents, () => readDescription(file, builtIn, contents))
  }
  return contents
}
