/** What was concluded from the readings of a run, read back from the sentences it is kept in (diagnosis-view.ts). */
import { cannotSayWhich } from '../circuit/diagnose/set-in-words'
import type { RunState } from './state'

const faultyPart = /^(\S+) is faulty \(/

const wordsOf = ({ standing }: Pick<RunState, 'standing'>): readonly string[] => standing.flatMap((event) => (event.kind === 'inferred' ? [event.words] : [])).at(-1) ?? []

/** Parts called faulty, the worst first. */
export const concludedFaulty = (state: Pick<RunState, 'standing'>): string[] => [...new Set(wordsOf(state).flatMap((words) => faultyPart.exec(words)?.[1] ?? []))]

/** No part is called faulty, and several read the same. */
export const concludedOneOfSeveral = (state: Pick<RunState, 'standing'>): boolean =>
  concludedFaulty(state).length === 0 && wordsOf(state).some((words) => words.includes(cannotSayWhich))
