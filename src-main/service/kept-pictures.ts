/** Pictures of boards that have runs lie beside the store, named by their SHA-256: an old run shows the picture it was made with. */
import { existsSync, mkdirSync, readFileSync, renameSync, statSync, writeFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { pictureOf, type Assets } from './assets'
import { createTurns, type Turn } from './turns'

export type KeptPictures = {
  /** Writes the picture a screen asks for by `path` into the data folder, once. @throws Error when the folder cannot be written. */
  keep: (path: string) => void
  isKept: (path: string) => boolean
  /** Has a kept picture served again; without the file the run shows none. */
  serve: (path: string) => void
  /** As `serve`, of many: the loop turns between them. */
  serveAll: (paths: readonly string[], turn?: Turn) => Promise<void>
}

export const createKeptPictures = (dataFolder: string, assets: Assets): KeptPictures => {
  const folder = join(dataFolder, 'pictures')
  const fileOf = (path: string): string => join(folder, basename(path))
  /** What is not what its name says, as it was when it was read: nothing is hashed twice. */
  const damaged = new Map<string, string>()
  const serve: KeptPictures['serve'] = (path) => {
    const file = fileOf(path)
    if (assets.picture(path) !== null || !existsSync(file)) return
    const { size, mtimeMs } = statSync(file)
    const seen = `${size} ${mtimeMs}`
    if (damaged.get(path) === seen) return
    const picture = pictureOf(file, readFileSync(file))
    if (picture.path === path) assets.keepServing(picture)
    else damaged.set(path, seen)
  }
  return {
    serve,
    serveAll: async (paths, turn = createTurns()) => {
      for (const path of paths) {
        serve(path)
        await turn()
      }
    },
    keep: (path) => {
      const picture = assets.picture(path)
      const file = fileOf(path)
      if (picture === null || existsSync(file)) return
      mkdirSync(folder, { recursive: true })
      // Whole or not at all: a kill in between leaves only the unfinished name.
      writeFileSync(`${file}.part`, picture.bytes)
      renameSync(`${file}.part`, file)
    },
    isKept: (path) => existsSync(fileOf(path)),
  }
}
