/** `check FILE`: says what is wrong with a board type or a meter description, or that nothing is. */
import { existsSync, statSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { isProbed, type BoardType } from '../../src-core/board/board-type'
import { checkBoard } from '../../src-core/board/check'
import { computedLimits } from '../../src-core/circuit/computed-limits'
import { usualCelsius } from '../../src-core/circuit/good-limits'
import { checkDescription } from '../../src-core/meter/check'
import { unitOf } from '../../src-core/meter/reading'
import { limitsInWords } from '../../src-core/metrology/limits-in-words'
import { computedOfBoard } from '../../src-core/run/computed-words'
import { escaped } from '../../src-core/quantity/printable'
import { readJson } from '../service/library-files'
import { milliseconds } from './read-files'
import { Refused, type Surroundings } from './surroundings'

export const checkUsage =
  ['  check FILE …', '      Says what is wrong with a board file or a meter description, field by field. Exit code 0 when all are sound.', '      Limits written as a part is marked are told as they were understood, limits left out as they are computed for a typical meter.']

type Found = { about: string; understood?: string[] } | { problems: { field: string; message: string }[] }

/** One line for each step without limits: what is computed for it with a typical meter source. */
const computedOf = (board: BoardType): string[] => Object.entries(computedOfBoard(board, { celsius: [...usualCelsius], steps: computedLimits(board) }))
  .map(([id, { limits, says }]) => `${id}: ${limits}. ${says}`)

/** One line for each step with limits written as a part is marked. */
const markedOf = ({ sequence }: BoardType): string[] => sequence.steps.flatMap((step) => {
  if (step.kind !== 'measure' || typeof step.limits !== 'object' || !('marked' in step.limits) || step.limits.marked === undefined) return []
  return [`${step.id}: ${step.limits.marked} → ${limitsInWords(step.limits, unitOf[step.function])}`]
})

const boardFile = (json: unknown, file: string): Found => {
  const checked = checkBoard(json, file)
  if ('problems' in checked) return checked
  const { board } = checked
  const missing = board.pictures.flatMap((picture, at) =>
    existsSync(join(dirname(file), picture.file)) ? [] : [{ field: `pictures[${at}].file`,
      message: `there is no ${picture.file} beside the board file; put it there or correct the name` }])
  const measured = board.sequence.steps.filter(isProbed).length
  const steps = `${board.sequence.steps.length} steps (${measured} to measure)`
  return missing.length > 0 ? { problems: missing }
    : { about: `board type ${board.id} revision ${board.revision}, ${board.parts.length} parts, ${steps}`, understood: [...markedOf(board), ...computedOf(board)] }
}

const schemas = ['probewright/board-type/1', 'probewright/meter-description/1']

const checkFile = (file: string): Found => {
  if (!existsSync(file)) return { problems: [{ field: '(whole file)', message: `There is no file ${file}. Correct the name or the folder.` }] }
  let json: unknown
  try {
    json = readJson(file).json
  } catch (error) {
    return { problems: [{ field: '(whole file)', message: error instanceof Error ? error.message : String(error) }] }
  }
  const schema = typeof json === 'object' && json !== null && 'schema' in json ? json.schema : undefined
  switch (schema) {
    case 'probewright/board-type/1': return boardFile(json, file)
    case 'probewright/meter-description/1': {
      const checked = checkDescription(json, file, milliseconds)
      return 'problems' in checked ? checked
        : { about: `meter description "${checked.description.name}", ${Object.keys(checked.description.functions).length} functions` }
    }
    default: {
      const wanted = schemas.map((one) => `"${one}"`).join(' or ')
      return { problems: [{ field: 'schema',
        message: `must be ${wanted}, not ${schema === undefined ? 'nothing' : JSON.stringify(schema)}` }] }
    }
  }
}

/** 0: every file is sound; 1: at least one is not. */
export const checkCommand = (args: readonly string[], { calledFrom, print }: Surroundings): number => {
  if (args.length === 0) throw new Refused(`check needs a file.\n${checkUsage.join('\n')}`)
  const results = args.map((named) => {
    const path = resolve(calledFrom, named)
    const file = existsSync(path) && statSync(path).isDirectory() ? join(path, 'board.json') : path
    const found = checkFile(file)
    if ('about' in found) {
      print(`${named}: OK, ${found.about}`)
      for (const line of found.understood ?? []) print(escaped(`  ${line}`))
    } else for (const { field, message } of found.problems) print(`${named}: ${field}: ${message}`)
    return 'about' in found
  })
  return results.every(Boolean) ? 0 : 1
}
