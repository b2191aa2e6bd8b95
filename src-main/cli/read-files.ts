/** Finds and reads the board types and meter descriptions that the command line works with. */
import { existsSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { checkBoard } from '../../src-core/board/check'
import type { BoardType } from '../../src-core/board/board-type'
import { compareRevisions } from '../../src-core/board/revisions'
import { checkDescription } from '../../src-core/meter/check'
import type { MeterDescription } from '../../src-core/meter/description'
import { readJson } from '../service/library-files'
import { Refused } from './surroundings'

export const milliseconds = (): number => performance.now()

const unsound = (file: string, problems: readonly { field: string; message: string }[]): Refused =>
  new Refused(`${file} is not sound:\n${problems.map(({ field, message }) => `  ${field}: ${message}`).join('\n')}`)

const textOf = (json: unknown, key: 'id' | 'revision'): string =>
  (typeof json === 'object' && json !== null && key in json ? String((json as Record<string, unknown>)[key]) : '')

/** The board type in these folders, its oldest revision where none is named. @throws Refused when there is none, naming those there are. */
export const boardNamed = (folders: readonly string[], id: string, revision?: string): BoardType => {
  const files = folders.map((folder) => join(folder, 'boards')).filter((folder) => existsSync(folder))
    .flatMap((folder) => readdirSync(folder).sort().map((name) => join(folder, name, 'board.json'))).filter((file) => existsSync(file))
  const boards = files.map((file) => ({ file, json: readJson(file).json }))
  const [found] = boards.filter(({ json }) => textOf(json, 'id') === id && (revision === undefined || textOf(json, 'revision') === revision))
    .sort((a, b) => compareRevisions(textOf(a.json, 'revision'), textOf(b.json, 'revision')))
  if (found === undefined) {
    const known = boards.map(({ json }) => `${textOf(json, 'id')} revision ${textOf(json, 'revision')}`).join(', ')
    throw new Refused(`There is no board "${id}"${revision === undefined ? '' : ` revision "${revision}"`}. There is ${known}.`)
  }
  const checked = checkBoard(found.json, found.file)
  if ('problems' in checked) throw unsound(found.file, checked.problems)
  return checked.board
}

/** The meter description of this name. @throws Refused when there is none, naming those there are. */
export const descriptionNamed = (folders: readonly string[], name: string): MeterDescription => {
  const files = folders.map((folder) => join(folder, 'meters')).filter((folder) => existsSync(folder))
    .flatMap((folder) => readdirSync(folder).filter((each) => each.endsWith('.json')).sort().map((each) => join(folder, each)))
  const all = files.map((file) => {
    const checked = checkDescription(readJson(file).json, file, milliseconds)
    if ('problems' in checked) throw unsound(file, checked.problems)
    return checked.description
  })
  const found = all.find((each) => each.name === name)
  if (!found) throw new Refused(`There is no meter description "${name}". There is ${all.map((each) => `"${each.name}"`).join(', ')}.`)
  return found
}
