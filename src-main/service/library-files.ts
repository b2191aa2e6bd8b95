/** Reads the library's files: board types and meter descriptions, built in and the user's own; a bad one is listed and hurts no other. */
import { createHash } from 'node:crypto'
import { closeSync, constants, lstatSync, openSync, readdirSync, readFileSync, statSync, type Stats } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { checkBoard } from '../../src-core/board/check'
import type { BoardType } from '../../src-core/board/board-type'
import { checkDescription } from '../../src-core/meter/check'
import type { MeterDescription } from '../../src-core/meter/description'
import { pictureOf, type Picture } from './assets'
import { jsonFaultPlace } from './json-fault'

export type LibraryBoard = { board: BoardType; sha256: string; file: string; builtIn: boolean; /** Paths a screen asks for, in the file's order. */ pictures: string[] }
export type LibraryDescription = { description: MeterDescription; file: string; builtIn: boolean }
export type Problem = { file: string; message: string }
export type LibraryContents = { boards: LibraryBoard[]; descriptions: LibraryDescription[]; problems: Problem[]; pictures: Picture[] }

const largestFile = 2 * 1024 * 1024
const largestPicture = 20 * 1024 * 1024

const clock = (): number => performance.now()

const wordsOf = (error: unknown): string => (error instanceof Error ? error.message : String(error))

/** Null where there is nothing. */
const standing = (path: string): Stats | null => lstatSync(path, { throwIfNoEntry: false }) ?? null

const kindOf = (found: Stats): string =>
  found.isSymbolicLink() ? 'a link' : found.isDirectory() ? 'a folder' : found.isFIFO() ? 'a pipe' : found.isSocket() ? 'a socket' : 'a device'

/** Plain files only: a link could lead anywhere, and a pipe would hold up the start. @throws Error in plain words. */
const sizedRead = (file: string, most: number): Buffer => {
  const found = lstatSync(file)
  if (!found.isFile()) throw new Error(`it is ${kindOf(found)}; put the file itself there`)
  if (found.size > most) throw new Error(`it is ${found.size} bytes, more than the ${most} allowed`)
  // Both flags are undefined on Windows: there they count as 0.
  const opened = openSync(file, constants.O_RDONLY | constants.O_NOFOLLOW | constants.O_NONBLOCK)
  try {
    return readFileSync(opened)
  } finally {
    closeSync(opened)
  }
}

/** The names in a folder of the library; none where there is no folder. */
const namesIn = (folder: string): string[] => {
  const found = statSync(folder, { throwIfNoEntry: false })
  if (found === undefined) return []
  if (!found.isDirectory()) throw new Error('This must be a folder, but it is a file. Move it away and make a folder of that name, then start the app again.')
  return readdirSync(folder).sort()
}

/** Parses, and says where a JSON file is broken. @throws Error in plain words. */
export const readJson = (file: string): { json: unknown; bytes: Buffer } => {
  let bytes: Buffer
  try {
    bytes = sizedRead(file, largestFile)
  } catch (error) {
    throw new Error(`The file cannot be read: ${wordsOf(error)}.`, { cause: error })
  }
  const text = bytes.toString('utf8')
  try {
    return { json: JSON.parse(text), bytes }
  } catch (error) {
    throw new Error(`The file is not JSON from ${jsonFaultPlace(text)} on. Look for a missing comma or quote there, or just before.`, { cause: error })
  }
}

/** @throws Error in plain words that name the picture. */
const readPicture = (file: string): Picture => {
  try {
    return pictureOf(file, sizedRead(file, largestPicture))
  } catch (error) {
    throw new Error(`The picture ${basename(file)} cannot be read: ${wordsOf(error)}.`, { cause: error })
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
  const pictures = board.pictures.map((each) => readPicture(join(dirname(file), each.file)))
  into.pictures.push(...pictures)
  into.boards.push({ board, sha256: createHash('sha256').update(bytes).digest('hex'), file, builtIn, pictures: pictures.map(({ path }) => path) })
}

const readDescription = (file: string, builtIn: boolean, into: LibraryContents): void => {
  // The patterns that ship with the app were timed when it was tested: on a busy machine, none of them may be refused.
  const checked = checkDescription(readJson(file).json, file, builtIn ? null : clock)
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
    into.problems.push({ file, message: wordsOf(error) })
  }
}

const readBoardFolder = (folder: string, builtIn: boolean, into: LibraryContents): void => {
  const found = standing(folder)
  if (found?.isSymbolicLink() === true) throw new Error('The board folder cannot be read: it is a link; put the folder itself there.')
  const file = join(folder, 'board.json')
  if (found?.isDirectory() === true && standing(file) !== null) guarded(file, into, () => readBoard(file, builtIn, into))
}

/** Every board.json one folder below boards, and every JSON file in meters; the built-in ones first. */
export const readLibrary = (builtInFolder: string, dataFolder: string): LibraryContents => {
  const contents: LibraryContents = { boards: [], descriptions: [], problems: [], pictures: [] }
  const eachIn = (folder: string, read: (path: string) => void): void => guarded(folder, contents, () => {
    for (const path of namesIn(folder).map((name) => join(folder, name))) guarded(path, contents, () => read(path))
  })
  for (const [folder, builtIn] of [[builtInFolder, true], [dataFolder, false]] as const) {
    eachIn(join(folder, 'boards'), (path) => readBoardFolder(path, builtIn, contents))
    eachIn(join(folder, 'meters'), (path) => { if (path.endsWith('.json')) readDescription(path, builtIn, contents) })
  }
  return contents
}

/** The contents with each picture in memory of its own, so that it can be handed to another thread instead of copied. */
export const ownedBytes = (contents: LibraryContents): { contents: LibraryContents; transferList: ArrayBuffer[] } => {
  const pictures = contents.pictures.map((picture) => {
    const { buffer, byteLength } = picture.bytes
    // A small Buffer is a piece of Node's shared pool, which cannot be handed over.
    const own = buffer instanceof ArrayBuffer && buffer.byteLength === byteLength ? buffer : Uint8Array.from(picture.bytes).buffer
    return { picture: { ...picture, bytes: Buffer.from(own) }, own }
  })
  return { contents: { ...contents, pictures: pictures.map(({ picture }) => picture) }, transferList: [...new Set(pictures.map(({ own }) => own))] }
}
