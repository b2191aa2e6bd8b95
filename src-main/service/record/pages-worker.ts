/** The worker that makes PDFs and tables of records: that takes longer than the serial loop may be held up. */
import { parentPort } from 'node:worker_threads'
import { NotPrinted, printRecords, printWish } from './print-records'

parentPort?.on('message', (message: unknown) => {
  printRecords(printWish.parse(message)).then(
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
