/** What a command of the command line stands in: folders, where it prints, and how it refuses. */
import type { Readable } from 'node:stream'

export type Surroundings = {
  builtInFolder: string
  /** Relative paths on the command line begin here. */
  calledFrom: string
  input: Readable & { isTTY?: boolean }
  print: (line: string) => void
  complain: (line: string) => void
}

/** The command line asks for what cannot be; the message says what to write instead. */
export class Refused extends Error {}
