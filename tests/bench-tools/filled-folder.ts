/** A data folder with runs in it, written by a program of its own: the store's lock ends with it. */
import { spawnSync } from 'node:child_process'
import { join } from 'node:path'
import type { Later } from './closers'
import { openDataFolder } from './opened'
import { root } from './running-app'

/** `count` invented runs of the products in made-runs.ts, the same for the same seed. @throws Error when they could not be written. */
export const filledFolder = (later: Later, count: number, seed: number): string => {
  const folder = openDataFolder(later)
  const ended = spawnSync(process.execPath, [join(root, 'out/main/bench.js'), 'fill-store', folder, String(count), String(seed)], { encoding: 'utf8', cwd: root })
  if (ended.status !== 0) throw new Error(ended.stderr)
  return folder
}
