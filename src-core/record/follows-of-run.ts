/** What a record says of a run behind a repair: which run it follows, what of the sequence it made, and how it found the board. */
import type { BoardType } from '../board/board-type'
import { stateInWords } from '../board/part-state'
import { boardOfRun } from '../repair/again'
import type { RunState } from '../run/state'
import type { TestRecordContent } from './schema'

type Follows = NonNullable<TestRecordContent['follows']>

const stepsInWords = (count: number): string => `${count} ${count === 1 ? 'step' : 'steps'}`

const madeInWords = ({ purpose, steps, of }: Pick<Follows, 'purpose' | 'steps' | 'of'>, own: number): string => {
  if (purpose === 'prove') return `Partial: none of the ${stepsInWords(of)} of the sequence was asked for here. The ${stepsInWords(own)} of this run are to prove that the board works.`
  return steps.length === of ? `All ${stepsInWords(of)} of the sequence were asked for again.`
    : `Partial: ${steps.length} of ${stepsInWords(of)} of the sequence, those the repair touches and those that had not passed. This record says nothing of the others.`
}

const foundInWords = (state: string): string => (state === '' ? 'The board was found whole.' : `The board was found with ${state}.`)

/** Nothing for a run that follows none. @param board as its file has it. */
export const followsOfRecord = ({ started: { follows } }: Pick<RunState, 'started'>, board: BoardType): Pick<TestRecordContent, 'follows'> => {
  if (follows === undefined) return {}
  const { run, purpose, state } = follows
  const made = boardOfRun(board, follows).sequence.steps
  const ofFile = board.sequence.steps
  const steps = purpose === 'prove' ? [] : ofFile.map(({ id }) => id).filter((id) => made.some((step) => step.id === id))
  const told = { run, purpose, steps, of: ofFile.length }
  return { follows: { ...told, found: state.map((one) => stateInWords([one])), words: `${madeInWords(told, made.length)} ${foundInWords(stateInWords(state))}` } }
}

/** Why a run ended so, and, where it made part of the sequence only, that it did. */
export const outcomeInWords = (because: string, { follows }: Pick<TestRecordContent, 'follows'>): string =>
  (follows === undefined || follows.steps.length === follows.of ? because : `${because} ${follows.words}`)
