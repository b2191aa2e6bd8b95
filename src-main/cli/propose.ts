/** `propose BOARD.json`: a sequence from the board's parts, as JSON for its file; what it shows and what it does not, on standard error. */
import { existsSync, statSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { checkBoard } from '../../src-core/board/check'
import type { BoardType } from '../../src-core/board/board-type'
import { proposedSequence } from '../../src-core/circuit/proposed-sequence'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import { readJson } from '../service/library-files'
import { Refused, type Surroundings } from './surroundings'

export const proposeUsage = [
  '  propose BOARD.json',
  '      Proposes a sequence from the board’s nets, parts and test points, as JSON to paste as the file’s "sequence". What it shows, and what',
  '      stays untested and why, is told on standard error. The file may have no sequence yet.',
]

/** Draws the good boards whose readings become limits; fixed, so that a board is proposed the same sequence each time. */
const seed = 20_260

/** A file that has no sequence yet is checked with one that asks for nothing. */
const withSequence = (json: unknown): unknown => (typeof json !== 'object' || json === null || 'sequence' in json ? json
  : { ...json, sequence: { id: 'none-yet', version: 1, steps: [{ kind: 'look', id: 'none-yet', title: 'none yet', words: 'none yet' }] } })

const boardIn = (named: string, calledFrom: string): BoardType => {
  const path = resolve(calledFrom, named)
  const file = existsSync(path) && statSync(path).isDirectory() ? join(path, 'board.json') : path
  if (!existsSync(file)) throw new Refused(`There is no file ${named}. Correct the name or the folder.`)
  const checked = checkBoard(withSequence(readJson(file).json), named)
  if ('problems' in checked) throw new Refused(checked.problems.map(({ field, message }) => `${named}: ${field}: ${message}`).join('\n'))
  return checked.board
}

const count = (number: number, one: string, more: string): string => `${number} ${number === 1 ? one : more}`

export const proposeCommand = (args: readonly string[], { calledFrom, print, complain }: Surroundings): number => {
  const [named, ...more] = args
  if (named === undefined || named.startsWith('-') || more.length > 0) throw new Refused(`propose needs one board file.\n${proposeUsage.join('\n')}`)
  const board = boardIn(named, calledFrom)
  let proposed: ReturnType<typeof proposedSequence>
  try {
    proposed = proposedSequence(board, seededRandom(seed))
  } catch (error) {
    if (error instanceof RangeError) throw new Refused(error.message)
    throw error
  }
  const { sequence, faults, shown, untested, dialTurns, leadMoves } = proposed
  print(JSON.stringify(sequence, null, 2))
  complain(`${count(sequence.steps.length, 'step', 'steps')}, ${count(dialTurns, 'turn of the dial', 'turns of the dial')}, ${count(leadMoves, 'lead move', 'lead moves')}; `
    + `${shown} of ${faults} single faults show.`)
  for (const { ref, pin, kinds, because } of untested) complain(`untested: ${ref}${pin === null ? '' : `, pin ${pin}`}, ${kinds.join(', ')}. ${because}`)
  return 0
}
