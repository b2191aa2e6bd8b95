/** A command line to run commands in: what is printed is kept, what is typed is fed. */
import { PassThrough } from 'node:stream'
import { fileURLToPath } from 'node:url'
import type { Surroundings } from '../../../src-main/cli/surroundings'

export type TestLine = Surroundings & { printed: string[]; complaints: string[]; input: PassThrough }

export const commandLine = (calledFrom = fileURLToPath(new URL('../../..', import.meta.url))): TestLine => {
  const printed: string[] = []
  const complaints: string[] = []
  return {
    builtInFolder: fileURLToPath(new URL('../../../fixtures', import.meta.url)), calledFrom, input: new PassThrough(), printed, complaints,
    print: (line) => { printed.push(line) }, complain: (line) => { complaints.push(line) },
  }
}
