/** Asks the worker what a board reads, one question at a time, and keeps the answers while the app runs. */
import { Worker } from 'node:worker_threads'
import type { Bench } from '../../src-core/run/bench'

type Keyed = { key: string }
export type Asking<Question extends Keyed, Answer extends Keyed> = {
  /** The run on the bench as it is now; null for none. What it asks for, it gets. */
  look: (bench: Bench | null) => void
  /** What is known by now; asking for the first time sets the worker to it. Null: not yet, or nothing was asked. */
  known: (asked: Question | null) => Answer | null
  close: () => void
}

export type Asked<Question extends Keyed, Answer extends Keyed> = {
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
  workerFile: string, { by, tell, settled = () => undefined, keeps }: Asked<Question, Answer>, report: (error: unknown) => void,
): Asking<Question, Answer> => {
  const answers = new Map<string, Answer>()
  /** Questions the worker died over, and how often; asked again when the bench asks for something else. */
  const tries = new Map<string, number>()
  let waiting: Question[] = []
  let underWay: Question | null = null
  let worker: Worker | null = null
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
    underWay = null
    answers.set(answer.key, answer)
    for (const key of [...answers.keys()].slice(0, -keeps)) answers.delete(key)
    if (answer.key === wanted) deliver()
    next()
    if (underWay === null) settled()
  }

  /** A failure is nobody's answer: it is not kept, and the run waits, or its step is skipped. */
  const fail = (question: Question): void => {
    underWay = null
    const tried = (tries.get(question.key) ?? 0) + 1
    tries.set(question.key, tried)
    if (tried < mostTries) waiting = [question, ...waiting]
    next()
  }

  const open = (): Worker => {
    const own = new Worker(workerFile)
    own.on('message', (answer: Answer) => { if (worker === own && !closed) take(answer) })
    own.on('error', report)
    own.on('exit', () => {
      if (worker !== own || closed) return
      worker = null
      if (underWay !== null) fail(underWay)
    })
    own.unref()
    return own
  }

  const next = (): void => {
    const [first, ...more] = waiting
    if (closed || underWay !== null || first === undefined) return
    waiting = more
    underWay = first
    worker ??= open()
    worker.postMessage(first)
  }

  const ask = (asked: Question | null, first: boolean): Answer | null => {
    if (asked === null) return null
    const answer = answers.get(asked.key)
    if (answer !== undefined) return answer
    if (underWay?.key === asked.key || (tries.get(asked.key) ?? 0) >= mostTries) return null
    const others = waiting.filter(({ key }) => key !== asked.key)
    if (first) waiting = [asked, ...others]
    else if (others.length === waiting.length) waiting = [...waiting, asked]
    next()
    return null
  }

  return {
    known: (asked) => ask(asked, false),
    look: (bench) => {
      const asked = bench === null ? null : by(bench)
      const key = asked?.key ?? null
      if (key === wanted) return
      wanted = key
      tries.clear()
      // The bench that asked is just being shown: what comes of the answer waits until it is.
      if (ask(asked, true) !== null) setImmediate(deliver)
    },
    close: () => {
      closed = true
      void worker?.terminate()
    },
  }
}
