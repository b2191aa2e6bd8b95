/** The worker: whatever takes longer than the serial loop may be held up. Now: reading and checking the library's files. */
import { parentPort } from 'node:worker_threads'
import { z } from 'zod'
import { ownedBytes, readLibrary } from './library-files'

const folders = z.strictObject({ builtIn: z.string(), data: z.string() })

parentPort?.on('message', (message: unknown) => {
  const { builtIn, data } = folders.parse(message)
  const { contents, transferList } = ownedBytes(readLibrary(builtIn, data))
  parentPort?.postMessage(contents, transferList)
})
