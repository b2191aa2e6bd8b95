/** A data folder with runs in it, written by a program of its own: the store's lock ends with it. */
import { spawnSync } from 'node:child_process'
import { join } from 'node:path'
import type { Later } from './closers'
import { openDataFolder } from './opened'
import { root } from './running-app'

const filledBy = (later: Later, command: string, ...args: number[]): string => {
  const folder = openDataFolder(later)
  const ended = spawnSync(process.execPath, [join(root, 'out/main/bench.js'), command, folder, ...args.map(String)], { encoding: 'utf8', cwd: root })
  if (ended.status !== 0) throw new Error(ended.stderr)
  return folder
}

/** `count` invented runs of the products in made-runs.ts, the same for the same seed. @throws Error when they could not be written. */
export const filledFolder = (later: Later, count: number, seed: number): string => filledBy(later, 'fill-store', count, seed)

/** `count` invented runs that passed, of a sequence of so many steps. @throws Error when they could not be written. */
export const folderOfLongRuns = (later: Later, count: number, steps: number): string => filledBy(later, 'fill-long-runs', count, steps)
