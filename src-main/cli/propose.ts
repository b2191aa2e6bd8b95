/** `propose BOARD.json`: a sequence from the board's parts, as JSON for its file; what it shows and what it does not, on standard error. */
import { proposedSequence } from '../../src-core/circuit/proposed-sequence'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import { boardNamedByFile } from './board-file'
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

const count = (number: number, one: string, more: string): string => `${number} ${number === 1 ? one : more}`

export const proposeCommand = (args: readonly string[], { calledFrom, print, complain }: Surroundings): number => {
  const [named, ...more] = args
  if (named === undefined || named.startsWith('-') || more.length > 0) throw new Refused(`propose needs one board file.\n${proposeUsage.join('\n')}`)
  const board = boardNamedByFile(named, calledFrom, withSequence)
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
