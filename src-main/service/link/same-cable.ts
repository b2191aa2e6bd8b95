/** What stands at a path. A port that comes back may be another cable under the same name: nothing is sent over it before that is known. */
import { statSync } from 'node:fs'
import type { MeterDescription } from '../../../src-core/meter/description'
import { anotherCableWords } from './port-words'

/** Which device a path leads to; null where the system does not say. */
export const deviceAt = (path: string): string | null => {
  try {
    const { dev, ino, rdev } = statSync(path)
    return `${dev} ${ino} ${rdev}`
  } catch {
    return null // gone, or a system whose ports are no files
  }
}

type Target = { path: string; description: MeterDescription }

export type SameCable = {
  /** The technician chose this port: what hangs on it now is what was meant. */
  meant: (to: Target) => void
  /** @throws Error in plain words where another cable, or one that says nothing of itself, is at the path now. */
  expect: (to: Target) => Promise<void>
}

const isAsked = ({ framing }: MeterDescription): boolean => framing.kind === 'scpi' || framing.poll !== undefined

/** @param cableAt the USB identity of the cable at a path; null: it has none, as a port that is built in. */
export const createSameCable = (cableAt: (path: string) => Promise<string | null>): SameCable => {
  let first: Promise<string | null> = Promise.resolve(null)
  return {
    meant: ({ path }) => { first = cableAt(path) },
    expect: async ({ path, description }) => {
      if (!isAsked(description)) return
      const meant = await first
      if (meant !== null && await cableAt(path) !== meant) throw new Error(anotherCableWords(path))
    },
  }
}
