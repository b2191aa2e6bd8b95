/** Has a worker make and seal records, which of a long run takes longer than the serial loop may be held up. The loop reads texts from the store and passes them on, a few at a time. */
import { Worker } from 'node:worker_threads'
import { createInTurn } from '../in-turn'
import type { IssuedRecord } from './issued'
import type { RunRead, ToSeal } from './seal-run'

/** What is asked of the worker: each question gets one answer. */
export type SealQuestion = { take: readonly string[]; first: boolean } | { read: true } | { seal: ToSeal }
export type SealAnswer = { taken: true } | { read: RunRead } | { issued: IssuedRecord } | { failed: string }

export type RunToSeal = {
  /** JSON text of each event of the run, in order, in pieces that the loop does not feel. */
  pieces: Iterable<readonly string[]>
  /** What the shop adds, once the worker has read the run. What it throws ends the sealing, and is thrown on. */
  gather: (read: RunRead) => ToSeal
}

export type SealedRun = { issued: IssuedRecord; read: RunRead; added: ToSeal }

export type Sealing = {
  /** The sealed record, with what it was made from. @throws Error in words, as `createSealer` does. */
  seal: (run: RunToSeal) => Promise<SealedRun>
  /** Ends what is under way. */
  close: () => void
}

const closedWords = 'the app was closed meanwhile.'

/** The worker is started at once, and stays: starting one holds up the loop as well. One that ended by a fault is followed by another at the next record. */
export const createSealing = (workerFile: string): Sealing => {
  const inTurn = createInTurn()
  let waiting: { resolve: (answer: SealAnswer) => void; reject: (error: Error) => void } | null = null
  let closed = false

  const open = (): Worker => {
    const own = new Worker(workerFile)
    const gone = (error: Error): void => {
      if (worker !== own) return
      worker = null
      waiting?.reject(error)
      waiting = null
    }
    own.on('message', (answer: SealAnswer) => {
      waiting?.resolve(answer)
      waiting = null
    })
    own.on('error', gone)
    own.on('exit', (code) => { gone(new Error(closed ? closedWords : `the worker that seals records ended with ${code} before it was done.`)) })
    own.unref()
    return own
  }
  let worker: Worker | null = open()

  /** @throws Error where it failed, or the worker is gone. */
  const ask = async (own: Worker, question: SealQuestion): Promise<Exclude<SealAnswer, { failed: string }>> => {
    if (worker !== own || closed) throw new Error(closed ? closedWords : 'the worker that seals records ended before it was done.')
    const answer = await new Promise<SealAnswer>((resolve, reject) => {
      waiting = { resolve, reject }
      own.postMessage({ sealing: question })
    })
    if ('failed' in answer) throw new Error(answer.failed)
    return answer
  }

  const sealedBy = async (own: Worker, { pieces, gather }: RunToSeal): Promise<SealedRun> => {
    let first = true
    for (const take of pieces) {
      await ask(own, { take, first })
      first = false
    }
    const answer = await ask(own, { read: true })
    if (!('read' in answer)) throw new Error('the worker that seals records did not read the run.')
    const added = gather(answer.read)
    const made = await ask(own, { seal: added })
    if (!('issued' in made)) throw new Error('the worker that seals records made none.')
    return { issued: made.issued, read: answer.read, added }
  }

  return {
    close: () => {
      closed = true
      void worker?.terminate()
    },
    seal: (run) => inTurn(async () => {
      if (closed) throw new Error(closedWords)
      const own = worker ??= open()
      own.ref()
      try {
        return await sealedBy(own, run)
      } finally {
        own.unref()
      }
    }),
  }
}
