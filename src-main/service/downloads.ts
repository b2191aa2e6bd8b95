/** Exported files on their way to the screen: each is handed out once under a path nobody can guess, and dropped when nobody comes for it. */
import { randomBytes } from 'node:crypto'
import type { Asset } from './assets'

/** `name`: what the file is to be called where it is saved. */
export type Download = Asset & { name: string }

export type Downloads = {
  /** The path to ask for. */
  offer: (file: Download) => string
  take: (path: string) => Download | null
}

const dropAfterMs = 5 * 60_000
/** Of files nobody came for only the latest are held. */
const mostHeld = 20

export const createDownloads = (): Downloads => {
  const held = new Map<string, Download>()
  return {
    offer: (file) => {
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
