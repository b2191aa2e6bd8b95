/** Has a worker make and seal records, which of a long run takes longer than the serial loop may be held up. The loop reads texts from the store and passes them on, a few at a time. */
import { createInTurn } from '../in-turn'
import type { Thread } from '../threads'
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
  /** The sealed record, with what it was made from. @throws Error in words, as `createSealer` does, and where the worker died or was closed. */
  seal: (run: RunToSeal) => Promise<SealedRun>
}

/** A worker that died fails the record it was at, however far that was; the next record is another's. */
export const createSealing = (thread: Thread): Sealing => {
  const inTurn = createInTurn()

  /** @throws Error where it failed, or the worker is gone. */
  const ask = async (question: SealQuestion): Promise<Exclude<SealAnswer, { failed: string }>> => {
    const answer = await thread.ask<SealAnswer>({ work: 'seal', urgency: 'now', of: () => question })
    if (answer === null) throw new Error('the worker that seals records was not asked.')
    if ('failed' in answer) throw new Error(answer.failed)
    return answer
  }

  const sealed = async ({ pieces, gather }: RunToSeal): Promise<SealedRun> => {
    let first = true
    for (const take of pieces) {
      await ask({ take, first })
      first = false
    }
    const answer = await ask({ read: true })
    if (!('read' in answer)) throw new Error('the worker that seals records did not read the run.')
    const added = gather(answer.read)
    const made = await ask({ seal: added })
    if (!('issued' in made)) throw new Error('the worker that seals records made none.')
    return { issued: made.issued, read: answer.read, added }
  }

  return { seal: (run) => inTurn(() => sealed(run)) }
}
