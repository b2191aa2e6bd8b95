/** The library as the service holds it: read at the start, and again by the worker when a user's file changes. */
import { mkdirSync, watch, type FSWatcher } from 'node:fs'
import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { Assets } from './assets'
import { readLibrary, type LibraryContents } from './library-files'

export type Library = { contents: () => LibraryContents; close: () => void }

const settleMs = 300

/**
 * Checking a file can take 100 ms, which the serial loop has not got: after the start it is done in the worker.
 * @param changed called after the user's files changed and were read again.
 */
export const openLibrary = (
  folders: { builtIn: string; data: string }, workerFile: string, assets: Assets, changed: () => void, report: (error: unknown) => void,
): Library => {
  let contents = readLibrary(folders.builtIn, folders.data)
  contents.pictures.forEach(assets.add)
  let worker: Worker | null = null
  let due: NodeJS.Timeout | null = null

  const readAgain = (): void => {
    worker ??= new Worker(workerFile).on('message', (read: LibraryContents) => {
      contents = read
      // A structured clone turns a Buffer into plain bytes.
      contents.pictures.forEach((picture) => { assets.add({ ...picture, bytes: Buffer.from(picture.bytes) }) })
      changed()
    }).on('error', (error) => { worker = null; report(error) })
    worker.postMessage({ builtIn: folders.builtIn, data: folders.data })
  }

  const watchers = ['boards', 'meters'].flatMap((name): FSWatcher[] => {
    const folder = join(folders.data, name)
    try {
      mkdirSync(folder, { recursive: true })
      const watcher = watch(folder, { recursive: true }, () => {
        if (due !== null) clearTimeout(due)
        due = setTimeout(readAgain, settleMs)
      })
      watcher.on('error', report)
      return [watcher]
    } catch (error) {
      report(error)
      return []
    }
  })
  return {
    contents: () => contents,
    close: () => {
      if (due !== null) clearTimeout(due)
      for (const watcher of watchers) watcher.close()
      void worker?.terminate()
    },
  }
}
