/** Has a worker print records or a page, one export at a time; it is started for it and gone afterwards. */
import { Worker } from 'node:worker_threads'
import { z } from 'zod'
import { Refusal } from '../dispatcher'
import type { PageWish } from './print-page'
import type { PrintWish } from './print-records'

export type Printing = { print: (wish: PrintWish | PageWish) => Promise<Buffer>; /** Ends one that is being made. */ stop: () => void }

const answer = z.union([z.strictObject({ bytes: z.instanceof(Uint8Array) }), z.strictObject({ refused: z.string() })])

/** Progress is not known, but that it lives. */
export const createPrinting = (workerFile: string): Printing => {
  let present: (() => void) | null = null
  return {
    stop: () => { present?.() },
    print: (wish) => new Promise<Buffer>((resolve, reject) => {
      if (present !== null) {
        reject(new Refusal('Another export is being made. Wait for it, or stop it on Records.'))
        return
      }
      const worker = new Worker(workerFile)
      const over = (settle: () => void): void => {
        present = null
        void worker.terminate()
        settle()
      }
      present = () => { over(() => { reject(new Refusal('The export was stopped. Nothing was exported.')) }) }
      worker.once('message', (message: unknown) => {
        const told = answer.parse(message)
        over(() => {
          if ('refused' in told) reject(new Refusal(told.refused))
          else resolve(Buffer.from(told.bytes.buffer, told.bytes.byteOffset, told.bytes.byteLength))
        })
      })
      worker.once('error', (error) => { over(() => { reject(error) }) })
      worker.once('exit', (code) => { over(() => { reject(new Error(`The worker that makes PDFs ended with ${code} before it was done.`)) }) })
      worker.postMessage(wish)
    }),
  }
}
