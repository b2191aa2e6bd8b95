/** The service with the app's own folders: the same for every host. */
import { readFileSync } from 'node:fs'
import { sep } from 'node:path'
import { fileURLToPath } from 'node:url'
import { z } from 'zod'
import { openService, type Service } from '../service/service'
import type { Practice } from './options'

/** From the built files, all of which lie in out/main. */
export const ownPath = (path: string): string => fileURLToPath(new URL(path, import.meta.url))

/** What the worker reads lies beside the archive of a packaged app, since a worker may not see into one. */
export const besideArchive = (path: string): string => path.replace(`app.asar${sep}`, `app.asar.unpacked${sep}`)

const manifest = z.object({ version: z.string() })
export const appVersion = (): string => manifest.parse(JSON.parse(readFileSync(ownPath('../../package.json'), 'utf8'))).version

/** @throws Error in plain words when the data folder cannot be used. */
export const openAppService = (dataFolder: string): Service => openService({
  dataFolder, builtInFolder: besideArchive(ownPath('../../fixtures')), pageFolder: ownPath('../renderer'),
  workerFile: besideArchive(ownPath('./worker.js')), version: appVersion(),
  report: (error) => { process.stderr.write(`${error instanceof Error ? error.stack ?? error.message : String(error)}\n`) },
})

/** Puts a practice board on the bench. @throws Error with the service's own words when it refuses. */
export const startPractice = async ({ dispatcher }: Service, practice: Practice): Promise<void> => {
  const answer = await dispatcher.dispatch({ id: 0, command: 'start-practice', input: practice })
  if ('error' in answer) throw new Error(answer.error)
}
