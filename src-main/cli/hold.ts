/** `hold BOARD READINGS…`: a board file held against the readings of good boards; what in it is likely wrong, as JSON. */
import { drivesOfReadings } from '../../src-core/circuit/meter-drive'
import type { ReadingsFile } from '../../src-core/circuit/readings-file'
import { checkBoardFile, type GoodBoardReadings } from '../../src-core/shop/check-board-file'
import { boardNamedByFile, readingsNamedByFile } from './board-file'
import { Refused, type Surroundings } from './surroundings'

export const holdUsage = [
  '  hold BOARD.json READINGS.json READINGS.json READINGS.json …',
  '      Holds the board file against the readings files of good boards (an export of a run), and names what in it is likely wrong, as JSON.',
  '      Exit code 0 when the readings fit the file, 1 when they do not, 2 when a file is not sound.',
]

const fewest = 3

const ofWholeBoard = (file: string, readings: ReadingsFile): ReadingsFile => {
  if (readings.state.length > 0) throw new Refused(`${file} was read with parts lifted, removed or added. Only whole boards speak for the file: leave it out.`)
  return readings
}

/** The largest U at k = 2 stands for all. */
const together = (files: readonly ReadingsFile[]): GoodBoardReadings[] => {
  const found = new Map<string, GoodBoardReadings>()
  for (const { red, black, function: what, value, U, k } of files.flatMap(({ readings }) => readings)) {
    const key = `${red} ${black} ${what}`
    const before = found.get(key) ?? { red, black, function: what, values: [], U: null }
    const own = U === undefined || k === undefined ? null : 2 * U / k
    found.set(key, { ...before, values: [...before.values, value], U: own === null ? before.U : Math.max(own, before.U ?? 0) })
  }
  return [...found.values()]
}

export const holdCommand = (args: readonly string[], { calledFrom, print }: Surroundings): number => {
  const [boardFile, ...named] = args
  if (boardFile === undefined || named.length < fewest) throw new Refused(`hold needs a board file and the readings of ${fewest} good boards or more.\n${holdUsage.join('\n')}`)
  const board = boardNamedByFile(boardFile, calledFrom)
  const files = named.map((file) => ofWholeBoard(file, readingsNamedByFile(file, calledFrom, { board, boardFile })))
  const readings = together(files)
  const { fits, suspects, odd } = checkBoardFile(board, readings, drivesOfReadings(files[0]?.sources))
  print(JSON.stringify({
    fits, suspects: suspects.map(({ says, parts, misfit }) => ({ says, parts, misfit: Number(misfit.toFixed(1)) })),
    odd: odd.flatMap((at) => { const one = readings[at]; return one === undefined ? [] : [{ red: one.red, black: one.black, function: one.function, values: one.values }] }),
  }, null, 2))
  return fits ? 0 : 1
}
