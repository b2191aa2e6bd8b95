/** Has the worker compute limits for steps that have none in their board file, and keeps them while the app runs. */
import { Worker } from 'node:worker_threads'
import type { Bench } from '../../src-core/run/bench'
import { type LimitsAnswer, type LimitsRequest, limitsRequestOf, noLimits } from '../../src-core/run/limits-request'

export type Limiting = {
  /** The run on the bench as it is now; null for none. Where it asks for limits, it gets them. */
  look: (bench: Bench | null) => void
  /** What is known by now; asking for the first time sets the worker to it. Null: not yet, or nothing was asked. */
  known: (asked: LimitsRequest | null) => LimitsAnswer | null
  close: () => void
}

type Told = {
  /** Limits that the run on the bench asked for. */
  of: (answer: LimitsAnswer) => void
  /** Some became known. */
  known: () => void
}

const mostKept = 60

export const createLimiting = (workerFile: string, told: Told, report: (error: unknown) => void): Limiting => {
  const answers = new Map<string, LimitsAnswer>()
  let waiting: LimitsRequest[] = []
  let underWay: LimitsRequest | null = null
  let worker: Worker | null = null
  /** What the run on the bench asks for. */
  let wanted: string | null = null
  let closed = false

  const deliver = (): void => {
    const answer = wanted === null ? undefined : answers.get(wanted)
    if (closed || answer === undefined) return
    wanted = null
    told.of(answer)
  }

  const take = (answer: LimitsAnswer): void => {
    underWay = null
    answers.set(answer.key, answer)
    for (const key of [...answers.keys()].slice(0, -mostKept)) answers.delete(key)
    deliver()
    told.known()
    next()
  }

  const open = (): Worker => {
    const own = new Worker(workerFile)
    own.on('message', (answer: LimitsAnswer) => { if (worker === own && !closed) take(answer) })
    own.on('error', report)
    own.on('exit', () => {
      if (worker !== own || closed) return
      worker = null
      if (underWay !== null) take(noLimits(underWay))
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

  const known: Limiting['known'] = (asked) => {
    if (asked === null) return null
    const answer = answers.get(asked.key)
    if (answer !== undefined) return answer
    if (underWay?.key !== asked.key && waiting.every(({ key }) => key !== asked.key)) waiting = [...waiting, asked]
    next()
    return null
  }

  return {
    known,
    look: (bench) => {
      const asked = bench === null ? null : limitsRequestOf(bench)
      const key = asked?.key ?? null
      if (key === wanted) return
      wanted = key
      // The bench that asked is just being shown: what comes of the answer waits until it is.
      if (known(asked) !== null) setImmediate(deliver)
    },
    close: () => {
      closed = true
      void worker?.terminate()
    },
  }
}
