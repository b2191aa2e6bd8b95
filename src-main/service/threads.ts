/** Owns the service's worker threads: each is given one question at a time, the most urgent first, and is followed by another where it dies. */
import { Worker } from 'node:worker_threads'
import type { WorkName } from './worker'

/** What is waited for more goes first, however much was asked before it. */
const urgencies = ['now', 'soon', 'whenever'] as const
export type Urgency = (typeof urgencies)[number]

export type Question = {
  work: WorkName
  urgency: Urgency
  /** Looked at when the thread is free for it: the newest wins. Null: there is nothing to ask any more. */
  of: () => object | null
  /** A thread that fails over it is given it so often; usual: once. */
  tries?: number
}

/** What the worker says to each question. A failure is nobody's answer. */
export type WorkerSays = { answer: unknown } | { failed: unknown }

export type Thread = {
  /** The answer; null where there was nothing to ask any more. @throws Error that the worker failed with, for whoever asked to report. */
  ask: <Answer>(question: Question) => Promise<Answer | null>
  /** What was asked, and is asked from here on, fails. */
  close: () => void
}

/** Two, so that neither what reads a file nor a record being sealed waits behind what a circuit costs. */
export type Threads = {
  /** Reads the library's files, seals records. It is started at once: starting one holds up the loop as well. */
  quick: Thread
  /** Works out circuits, and what an unknown meter's displays mean: up to seconds each. It is started for the first of them. */
  long: Thread
  close: () => void
}

export const closedWords = 'the app was closed meanwhile.'

type Waiting = Question & { failures: number; resolve: (answer: never) => void; reject: (error: Error) => void }

const asError = (thrown: unknown): Error => (thrown instanceof Error ? thrown : new Error(String(thrown)))

/** @param report called with a failure that nobody who asked is told of: between two questions, or before a question is tried again. */
export const createThread = (workerFile: string, report: (error: unknown) => void): Thread & { start: () => void } => {
  let waiting: Waiting[] = []
  let underWay: Waiting | null = null
  let worker: Worker | null = null
  let closed = false

  /** Nothing is under way any more: what was. */
  const ended = (): Waiting | null => {
    const asked = underWay
    underWay = null
    worker?.unref()
    return asked
  }

  const fail = (asked: Waiting | null, error: Error): void => {
    const again = asked !== null && asked.failures + 1 < (asked.tries ?? 1)
    if (again) waiting = [{ ...asked, failures: asked.failures + 1 }, ...waiting]
    if (asked === null || again) report(error)
    else asked.reject(error)
    next()
  }

  const open = (): Worker => {
    const own = new Worker(workerFile)
    const died = (error: Error): void => {
      if (worker !== own || closed) return
      worker = null
      fail(ended(), error)
    }
    own.on('message', (said: WorkerSays) => {
      if (worker !== own || closed) return
      const asked = ended()
      if ('failed' in said) return fail(asked, asError(said.failed))
      asked?.resolve(said.answer as never)
      next()
    })
    own.on('error', (error) => { died(asError(error)) })
    own.on('exit', (code) => { died(new Error(`The worker ended with ${code} before it was done.`)) })
    own.unref()
    return own
  }

  const put = (asked: Waiting): void => {
    try {
      const of = asked.of()
      if (of === null) return asked.resolve(null as never)
      worker ??= open()
      worker.postMessage({ work: asked.work, of })
      worker.ref()
      underWay = asked
    } catch (error) {
      // What cannot be handed to another thread was not asked.
      asked.reject(asError(error))
    }
  }

  const next = (): void => {
    while (!closed && underWay === null) {
      const first = urgencies.map((urgency) => waiting.find((each) => each.urgency === urgency)).find((each) => each !== undefined)
      if (first === undefined) return
      waiting = waiting.filter((each) => each !== first)
      put(first)
    }
  }

  return {
    start: () => { worker ??= open() },
    ask: (question) => new Promise((resolve, reject) => {
      if (closed) return reject(new Error(closedWords))
      waiting.push({ ...question, failures: 0, resolve, reject })
      next()
    }),
    close: () => {
      closed = true
      void worker?.terminate()
      const left = [ended(), ...waiting]
      waiting = []
      for (const asked of left) asked?.reject(new Error(closedWords))
    },
  }
}

export const createThreads = (workerFile: string, report: (error: unknown) => void): Threads => {
  const quick = createThread(workerFile, report)
  const long = createThread(workerFile, report)
  quick.start()
  return {
    quick, long,
    close: () => {
      quick.close()
      long.close()
    },
  }
}
