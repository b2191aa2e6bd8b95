/** Asks what a board reads, what the run on the bench waits for first, and keeps the answers while the app runs. */
import type { Bench } from '../../src-core/run/bench'
import type { Thread, Urgency } from './threads'
import type { WorkName } from './worker'

type Keyed = { key: string }
export type Asking<Question extends Keyed, Answer extends Keyed> = {
  /** The run on the bench as it is now; null for none. What it asks for, it gets. */
  look: (bench: Bench | null) => void
  /** What is known by now; asking for the first time sets the worker to it. Null: not yet, or nothing was asked. */
  known: (asked: Question | null) => Answer | null
  close: () => void
}

export type Asked<Question extends Keyed, Answer extends Keyed> = {
  work: WorkName
  /** What the run on the bench asks for; null: nothing. */
  by: (bench: Bench) => Question | null
  /** What the run on the bench asked for. */
  tell: (answer: Answer) => void
  /** All that was asked is answered. */
  settled?: () => void
  /** Answers kept, the latest. */
  keeps: number
}

/** A worker that dies over one question is given it so often. */
const mostTries = 2

export const createAsking = <Question extends Keyed, Answer extends Keyed>(
  thread: Thread, { work, by, tell, settled = () => undefined, keeps }: Asked<Question, Answer>, report: (error: unknown) => void,
): Asking<Question, Answer> => {
  const answers = new Map<string, Answer>()
  /** Asked and not answered yet. */
  const sought = new Map<string, Urgency>()
  /** Questions the worker failed over; asked again when the bench asks for something else. */
  const failed = new Set<string>()
  /** What the run on the bench asks for. */
  let wanted: string | null = null
  let closed = false

  const deliver = (): void => {
    const answer = wanted === null ? undefined : answers.get(wanted)
    if (closed || answer === undefined) return
    // Should it not be stored, the bench asks again.
    wanted = null
    tell(answer)
  }

  const take = (answer: Answer): void => {
    sought.delete(answer.key)
    answers.set(answer.key, answer)
    for (const key of [...answers.keys()].slice(0, -keeps)) answers.delete(key)
    if (answer.key === wanted) deliver()
    if (sought.size === 0) settled()
  }

  /** A failure is nobody's answer: it is not kept, and the run waits, or its step is skipped. */
  const fail = (key: string, error: unknown): void => {
    if (closed) return
    sought.delete(key)
    failed.add(key)
    report(error)
  }

  const ask = (asked: Question | null, urgency: Urgency): Answer | null => {
    if (asked === null) return null
    const { key } = asked
    const answer = answers.get(key)
    if (answer !== undefined) return answer
    if (failed.has(key) || sought.get(key) === 'now' || sought.get(key) === urgency) return null
    sought.set(key, urgency)
    // Asked more urgently meanwhile, or answered: then this asks nothing.
    thread.ask<Answer>({ work, urgency, tries: mostTries, of: () => (sought.get(key) === urgency ? asked : null) })
      .then((made) => { if (made !== null && !closed) take(made) }, (error: unknown) => { fail(key, error) })
    return null
  }

  return {
    known: (asked) => ask(asked, 'whenever'),
    look: (bench) => {
      const asked = bench === null ? null : by(bench)
      const key = asked?.key ?? null
      if (key === wanted) return
      wanted = key
      failed.clear()
      // The bench that asked is just being shown: what comes of the answer waits until it is.
      if (ask(asked, 'now') !== null) setImmediate(deliver)
    },
    close: () => { closed = true },
  }
}
