/** The library as the service holds it: read at the start, and again by the worker when a user's file changes. */
import { mkdirSync, watch, type FSWatcher } from 'node:fs'
import { join } from 'node:path'
import type { Assets, Picture } from './assets'
import { readLibrary, type LibraryContents } from './library-files'
import type { Thread } from './threads'

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
  folders: { builtIn: string; data: string }, thread: Thread, assets: Assets, changed: () => void, report: (error: unknown) => void,
): Library => {
  let contents = readLibrary(folders.builtIn, folders.data)
  assets.replacePictures(contents.pictures)
  let due: NodeJS.Timeout | null = null
  let closed = false

  const readAgain = (): void => {
    thread.ask<LibraryContents>({ work: 'read-library', urgency: 'now', of: () => folders }).then((read) => {
      if (closed || read === null) return
      contents = { ...read, pictures: read.pictures.map(asRead) }
      assets.replacePictures(contents.pictures)
      changed()
    }, (error: unknown) => {
      if (!closed) report(new Error(`The changed files of the library were not read: ${error instanceof Error ? error.message : String(error)} Save the changed file again to have it read.`, { cause: error }))
    })
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
    },
  }
}
