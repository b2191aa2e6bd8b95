/** The worker's part of the library: reads and checks its files. */
import { z } from 'zod'
import { ownedBytes, readLibrary } from '../library-files'
import type { Done } from '../worker'

const folders = z.strictObject({ builtIn: z.string(), data: z.string() })

export const readLibraryFiles = (of: unknown): Done => {
  const { builtIn, data } = folders.parse(of)
  const { contents, transferList } = ownedBytes(readLibrary(builtIn, data))
  return { answer: contents, hand: transferList }
}
