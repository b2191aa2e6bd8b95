/** The library as the service holds it: read at the start, and again by the worker when a user's file changes. */
import { mkdirSync, watch, type FSWatcher } from 'node:fs'
import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { Assets, Picture } from './assets'
import { readLibrary, type LibraryContents } from './library-files'

export type Library = { contents: () => LibraryContents; close: () => void }

const settleMs = 300

/** Between threads a Buffer arrives as plain bytes; this views them without a copy. */
const asRead = (picture: Picture): Picture =>
  ({ ...picture, bytes: Buffer.from(picture.bytes.buffer, picture.bytes.byteOffset, picture.bytes.byteLength) })

/**
 * Checking a file can take 100 ms, which the serial loop has not got: after the start it is done in the worker.
 * @param changed called after the user's files changed and were read again.
 */
export const openLibrary = (
  folders: { builtIn: string; data: string }, workerFile: string, assets: Assets, changed: () => void, report: (error: unknown) => void,
): Library => {
  let contents = readLibrary(folders.builtIn, folders.data)
  assets.replacePictures(contents.pictures)
  let worker: Worker | null = null
  let due: NodeJS.Timeout | null = null
  let closed = false

  const startWorker = (): Worker => {
    const started = new Worker(workerFile)
    let failed = false
    started.on('message', (read: LibraryContents) => {
      contents = { ...read, pictures: read.pictures.map(asRead) }
      assets.replacePictures(contents.pictures)
      changed()
    })
    started.on('error', (error) => {
      failed = true
      report(error)
    })
    // The next change starts another.
    started.on('exit', (code) => {
      if (worker === started) worker = null
      if (!failed && !closed) report(new Error(`The library's worker ended with ${code} before it was told to. Save the changed file again to have it read.`))
    })
    return started
  }

  const readAgain = (): void => {
    worker ??= startWorker()
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
      closed = true
      if (due !== null) clearTimeout(due)
      for (const watcher of watchers) watcher.close()
      void worker?.terminate()
    },
  }
}
