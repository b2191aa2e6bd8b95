/** Starts the app as the README says and reads the address it prints. */
import { spawn, type ChildProcess } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

export const root = fileURLToPath(new URL('../..', import.meta.url))

export type RunningApp = {
  address: string
  process: ChildProcess
  dataFolder: string
  errors: () => string
  kill: () => Promise<void>
  /** Ends it as Ctrl+C does, and removes the data folder it was given none. */
  close: () => Promise<void>
}

const ended = (child: ChildProcess): Promise<void> =>
  child.exitCode !== null || child.signalCode !== null ? Promise.resolve() : new Promise((resolve) => { child.once('exit', () => { resolve() }) })

/** @param options as `npm start --` takes them; `dataFolder` is made and removed unless given. */
export const startApp = async (options: string[] = [], dataFolder?: string): Promise<RunningApp> => {
  const folder = dataFolder ?? mkdtempSync(join(tmpdir(), 'probewright-data-'))
  const child = spawn(process.execPath, [join(root, 'out/main/start.js'), '--no-open', '--port', '0', '--data', folder, ...options], { cwd: root, stdio: ['ignore', 'pipe', 'pipe'] })
  let said = ''
  let wrong = ''
  child.stderr.on('data', (chunk: Buffer) => { wrong += chunk.toString() })
  const address = await new Promise<string>((resolve, reject) => {
    child.stdout.on('data', (chunk: Buffer) => {
      said += chunk.toString()
      const line = said.split('\n').find((each) => /^http:\/\/127\.0\.0\.1:\d+\/#\S+$/.test(each))
      if (line !== undefined) resolve(line)
    })
    child.once('exit', (code) => {
      if (dataFolder === undefined) rmSync(folder, { recursive: true, force: true })
      reject(new Error(`The app ended with ${code} before it gave its address. ${wrong}`))
    })
  })
  return {
    address, process: child, dataFolder: folder, errors: () => wrong,
    kill: async () => {
      child.kill('SIGKILL')
      await ended(child)
    },
    close: async () => {
      if (child.exitCode === null && child.signalCode === null) child.kill('SIGTERM')
      await ended(child)
      if (dataFolder === undefined) rmSync(folder, { recursive: true, force: true })
    },
  }
}
