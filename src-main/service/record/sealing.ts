/** Has the worker make and seal records: of a long run that takes longer than the serial loop may be held up. */
import { Worker } from 'node:worker_threads'
import type { IssuedRecord } from './issued'
import type { SealWish } from './seal-run'

export type Sealing = {
  /** A worker is started for it and gone afterwards. @throws Error in words, as `sealRun` does. */
  seal: (wish: SealWish) => Promise<IssuedRecord>
  /** Ends what is under way. */
  close: () => void
}

/** The worker's answer. */
export type Sealed = { issued: IssuedRecord } | { failed: string }

export const createSealing = (workerFile: string): Sealing => {
  const present = new Set<() => void>()
  return {
    close: () => { for (const end of present) end() },
    seal: (wish) => new Promise<IssuedRecord>((resolve, reject) => {
      const worker = new Worker(workerFile)
      const over = (settle: () => void): void => {
        if (!present.delete(end)) return
        void worker.terminate()
        settle()
      }
      const end = (): void => { over(() => { reject(new Error('the app was closed meanwhile.')) }) }
      present.add(end)
      worker.once('message', (sealed: Sealed) => {
        over(() => {
          if ('issued' in sealed) resolve(sealed.issued)
          else reject(new Error(sealed.failed))
        })
      })
      worker.once('error', (error) => { over(() => { reject(error) }) })
      worker.once('exit', (code) => { over(() => { reject(new Error(`the worker that seals records ended with ${code} before it was done.`)) }) })
      // Starting it and handing it the run are two pieces of work.
      worker.once('online', () => { worker.postMessage({ seal: wish }) })
    }),
  }
}
