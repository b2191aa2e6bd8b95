/** The worker that makes PDFs and tables of records: that takes longer than the serial loop may be held up. */
import { parentPort } from 'node:worker_threads'
import { z } from 'zod'
import { pageWish, printPage } from './print-page'
import { NotPrinted, printRecords, printWish } from './print-records'

const wishes = z.union([printWish, pageWish])

parentPort?.on('message', (message: unknown) => {
  const wish = wishes.parse(message)
  ;('sections' in wish ? printPage(wish) : printRecords(wish)).then(
    (made) => {
      // A buffer of its own, which can be handed over whole.
      const bytes = new Uint8Array(made)
      parentPort?.postMessage({ bytes }, [bytes.buffer])
    },
    (error: unknown) => {
      if (error instanceof NotPrinted) parentPort?.postMessage({ refused: error.message })
      else throw error
    },
  )
})
