/** Asks for a passphrase: unseen on a terminal, else the next line of the input. */
import { createInterface, type Interface } from 'node:readline'
import { Writable } from 'node:stream'
import { Refused, type Surroundings } from './surroundings'

export type Asking = { ask: (question: string) => Promise<string>; close: () => void }

/** One reader for all questions: lines that came at once wait for theirs. */
export const createAsking = ({ input, complain }: Pick<Surroundings, 'input' | 'complain'>): Asking => {
  const waiting: string[] = []
  const wanted: ((line: string | null) => void)[] = []
  let over = false
  // What is typed goes nowhere: readline's own echo is what a terminal would show.
  const nowhere = new Writable({ write: (_chunk, _encoding, done) => { done() } })
  const lines: Interface = createInterface({ input, output: nowhere, terminal: input.isTTY === true })
  lines.on('line', (line) => { const next = wanted.shift(); if (next === undefined) waiting.push(line); else next(line) })
  lines.on('close', () => { over = true; for (const each of wanted.splice(0)) each(null) })
  return {
    ask: async (question) => {
      complain(question)
      const line = waiting.shift() ?? (over ? null : await new Promise<string | null>((resolve) => { wanted.push(resolve) }))
      if (line === null) throw new Refused('No passphrase was given. Type it, or pipe it in as a line of its own.')
      return line
    },
    close: () => { lines.close() },
  }
}
