/** Exported files on their way to the screen: each is handed out once under a path nobody can guess, and dropped when nobody comes for it. */
import { randomBytes } from 'node:crypto'
import type { Asset } from './assets'

/** `name`: what the file is to be called where it is saved. */
export type Download = Asset & { name: string }

export type Downloads = {
  /** The path to ask for; null where the files nobody has come for leave no room. */
  offer: (file: Download) => string | null
  take: (path: string) => Download | null
}

const dropAfterMs = 5 * 60_000
/** Of files nobody came for only the latest are held. */
const mostHeld = 20
/** Of all of them together, bytes. */
export const mostBytes = 64 * 2 ** 20

/** @param most bytes of all files held. */
export const createDownloads = (most = mostBytes): Downloads => {
  const held = new Map<string, Download>()
  return {
    offer: (file) => {
      const present = [...held.values()].reduce((sum, { bytes }) => sum + bytes.length, 0)
      if (present + file.bytes.length > most) return null
      const path = `/exports/${randomBytes(24).toString('base64url')}/${file.name}`
      held.set(path, file)
      for (const old of [...held.keys()].slice(0, -mostHeld)) held.delete(old)
      setTimeout(() => { held.delete(path) }, dropAfterMs).unref()
      return path
    },
    take: (path) => {
      const file = held.get(path) ?? null
      held.delete(path)
      return file
    },
  }
}
