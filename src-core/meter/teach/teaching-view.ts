/** What the screen draws of teaching: the displays so far, what is known, what to show next. */
import { z } from 'zod'
import { dialWords } from '../../run/words'
import { ask } from './ask-next'
import type { RowCut } from './heard-rows'
import { teachSetup } from './setup'
import { inShownWords, shown, type Shown } from './shown'
import { triedInARow, triesWanted, type Teaching } from './teach'

export const teachingView = z.strictObject({
  /** The port that is listened to; null while it is closed. */
  path: z.string().nullable(),
  message: z.string().nullable(),
  setup: teachSetup,
  examples: z.array(z.strictObject({ shown, words: z.string(), says: z.string().nullable() })),
  /** Displays typed and taken since the start. */
  typed: z.number().int(),
  /** A new proposal is being made. */
  thinking: z.boolean(),
  ask: ask.nullable(),
  known: z.array(z.string()), left: z.array(z.string()),
  /** Of frames: bytes in one, and what each bit is, "3.7" first. */
  length: z.number().int().nullable(), meaning: z.array(z.tuple([z.string(), z.string()])),
  tried: z.array(z.strictObject({ words: z.string(), says: z.string().nullable() })),
  /** Tried often enough in a row. */
  proven: z.boolean(),
  /** The description as its file will be; null while there is none. */
  description: z.string().nullable(),
  saved: z.string().nullable(),
})
export type TeachingView = z.infer<typeof teachingView>

const wordsOf = (each: Shown): string => `${inShownWords(each)}, ${dialWords[each.function]}${each.flags.length === 0 ? '' : `, ${each.flags.join(', ')}`}`

const knownWords = ({ proposal, examples }: Teaching): string[] => {
  if (proposal === null || examples.length === 0) return []
  const value = proposal.description?.framing.kind === 'lines' || proposal.description === null ? null : proposal.description.framing
  const kinds = { ascii: 'The figure is digits in ASCII.', bcd: 'The figure is one digit a half byte (BCD).', segments: 'The frame is a picture of the display: seven segments a digit.', integer: 'The figure is a whole number.', float: 'The figure is a floating-point number.' }
  return [
    proposal.framing, ...(value !== null && 'fields' in value ? [kinds[value.fields.value.kind]] : []),
    ...(proposal.length === null ? [] : [proposal.check === null ? 'No check value was found.' : `Check value: ${proposal.check}.`]),
    ...(proposal.because === null || proposal.because === proposal.framing ? [] : [proposal.because]),
  ]
}

export const descriptionText = (state: Teaching, name: string): string | null =>
  state.proposal === null || state.proposal.description === null ? null : `${JSON.stringify({ ...state.proposal.description, name }, null, 2)}\n`

export const viewOfTeaching = (state: Teaching, about: Pick<TeachingView, 'path' | 'message' | 'saved'>): TeachingView => {
  const { proposal } = state
  return {
    ...about, setup: state.setup, typed: state.typed, thinking: state.proposedFor !== state.revision, ask: proposal?.ask ?? null,
    examples: state.examples.map(({ shown: each }, index) => ({
      shown: each, words: wordsOf(each), says: proposal?.disagree.find(({ example }) => example === index)?.words ?? null,
    })),
    known: knownWords(state), left: proposal?.left ?? [], length: proposal?.length ?? null, meaning: proposal?.meaning ?? [],
    tried: state.tried.map(({ shown: each, says }) => ({ words: wordsOf(each), says })), proven: triedInARow(state) >= triesWanted,
    description: descriptionText(state, state.setup.name),
  }
}

export const rowCutOf = ({ proposal }: Teaching): RowCut => {
  const framing = proposal?.description?.framing
  if (framing?.kind === 'lines') return { delimiter: framing.delimiter }
  return proposal !== null && proposal.length !== null ? { length: proposal.length } : null
}
