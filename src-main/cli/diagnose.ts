/** `diagnose BOARD READINGS`: each part's report with its probability, the classes with theirs, and what to do next, as JSON. */
import { diagnose } from '../../src-core/circuit/diagnose'
import { isLeg } from '../../src-core/board/lifted-leg'
import { boardNamedByFile, readingsNamedByFile } from './board-file'
import { Refused, type Surroundings } from './surroundings'

export const diagnoseUsage = [
  '  diagnose BOARD.json READINGS.json',
  '      Says what is broken on the board, as JSON: each part\'s report, the fault sets the readings leave, and what to do next.',
  '      Exit code 0 when the board was judged, 2 when a file is not sound.',
]

export const diagnoseCommand = (args: readonly string[], { calledFrom, print }: Surroundings): number => {
  const [boardFile, file, ...more] = args
  if (boardFile === undefined || file === undefined || more.length > 0) throw new Refused(`diagnose needs a board file and a readings file.\n${diagnoseUsage.join('\n')}`)
  const board = boardNamedByFile(boardFile, calledFrom)
  const readings = readingsNamedByFile(file, calledFrom, { board, boardFile })
  const refs = new Set(board.parts.map(({ ref }) => ref))
  const unknown = readings.state.map(({ ref }) => ref).filter((ref) => !refs.has(ref))
  if (unknown.length > 0) throw new Refused(`${file}: state names ${unknown.join(', ')}, which ${unknown.length === 1 ? 'is not a part' : 'are no parts'} of ${board.name}. Correct the name.`)
  const unpinned = readings.state.find((one) => one.is === 'lifted' && board.parts.find(({ ref }) => ref === one.ref)?.pins[one.pin] === undefined)
  if (unpinned !== undefined && unpinned.is === 'lifted') throw new Refused(`${file}: state lifts pin ${unpinned.pin} of ${unpinned.ref}, which has no such pin. Its pins are ${Object.keys(board.parts.find(({ ref }) => ref === unpinned.ref)?.pins ?? {}).join(', ')}.`)
  const points = new Set(board.testPoints.map(({ id }) => id))
  const unplaced = readings.readings.flatMap(({ red, black }, at) => [['red', red], ['black', black]].filter(([, id = '']) => !isLeg(id) && !points.has(id)).map(([lead, id]) => `readings[${at}].${lead} is ${id}`))
  if (unplaced.length > 0) throw new Refused(`${file}: ${unplaced.join(', ')}, and ${board.name} has no such test point. Correct the name; the board file lists them under "testPoints".`)
  print(JSON.stringify(diagnose(board, readings), null, 2))
  return 0
}
