/** What is lifted, removed, fitted or jumpered on a board, and how the steps of a sequence leave it. */
import { z } from 'zod'
import type { BoardType, MeasureStep } from './board-type'

const ref = z.string().min(1)
/** As a readings file has it (circuit/readings-file.ts). */
export const partState = z.union([
  z.strictObject({ ref, pin: z.string().min(1), is: z.literal('lifted') }),
  z.strictObject({ ref, is: z.enum(['removed', 'fitted', 'jumpered']) }),
])
export type PartState = z.infer<typeof partState>

/** `back`: as the board file has the part, whatever was done to it. */
export const leftState = z.union([partState, z.strictObject({ ref, is: z.literal('back') })])
export type LeftState = z.infer<typeof leftState>

export const isSame = (one: PartState, other: PartState): boolean => one.ref === other.ref && one.is === other.is && ('pin' in one ? one.pin : null) === ('pin' in other ? other.pin : null)

/** After a step left it so. A part taken out has no lifted pins; pins are lifted one by one. */
export const after = (state: readonly PartState[], left: readonly LeftState[]): PartState[] => left.reduce<PartState[]>((now, one) => {
  const others = now.filter((each) => each.ref !== one.ref || (one.is === 'lifted' && each.is === 'lifted' && !isSame(each, one)))
  return one.is === 'back' ? others : [...others, one]
}, [...state])

export const missingOf = (needs: readonly PartState[], state: readonly PartState[]): PartState[] => needs.filter((need) => !state.some((one) => isSame(one, need)))

/** Whether both boards are in the same state, in whatever order it came about. */
export const sameState = (one: readonly PartState[], other: readonly PartState[]): boolean => missingOf(one, other).length === 0 && missingOf(other, one).length === 0

/** The state a step is written for: every step before it done, in the order of the sequence. @param from of the board before its first step. */
export const stateAt = ({ sequence: { steps } }: Pick<BoardType, 'sequence'>, id: string, from: readonly PartState[] = []): PartState[] =>
  steps.slice(0, Math.max(0, steps.findIndex((step) => step.id === id))).reduce<PartState[]>((state, step) => (step.kind === 'do' ? after(state, step.leaves ?? []) : state), [...from])

/** Steps that measure the parts: with the power off, and with the board as it was found; as the file has it unless said otherwise. */
export const stepsOfParts = (board: Pick<BoardType, 'sequence'>, found: readonly PartState[] = []): MeasureStep[] =>
  board.sequence.steps.filter((step): step is MeasureStep => step.kind === 'measure' && step.powered !== true && sameState(stateAt(board, step.id, found), found))

/** "the cathode of D4", "pin 1 of R4". */
export const pinInWords = (part: string, pin: string): string => (/^[a-z]+$/.test(pin) ? `the ${pin} of ${part}` : `pin ${pin} of ${part}`)

/** "the cathode of D4 lifted", "JP1 removed". */
export const stateInWords = (state: readonly PartState[]): string => {
  const words = state.map((one) => (one.is === 'lifted' ? `${pinInWords(one.ref, one.pin)} lifted` : `${one.ref} ${one.is}`))
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1) ?? ''}`
}
