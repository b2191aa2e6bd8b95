/** Looks for Electron's runtime by reading the files beside its package: asking the package itself would download it. */
import { existsSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { z } from 'zod'

const manifest = z.object({ version: z.string() })

const textOf = (file: string): string | null => (existsSync(file) ? readFileSync(file, 'utf8').trim() : null)

/** The folder of the electron package that the app at `from` would load, or null: an installed app has none. */
export const electronPackage = (from: string): string | null => {
  const here = join(from, 'node_modules', 'electron')
  if (existsSync(join(here, 'package.json'))) return here
  return dirname(from) === from ? null : electronPackage(dirname(from))
}

/**
 * The runtime's program, or null where it is missing, was left unfinished, or belongs to another version.
 * @param override ELECTRON_OVERRIDE_DIST_PATH: a folder with a runtime of one's own.
 */
export const findRuntime = (electron: string | null, override: string | undefined): string | null => {
  if (electron === null) return null
  const named = textOf(join(electron, 'path.txt'))
  if (override !== undefined && override !== '') {
    const own = join(override, named ?? 'electron')
    return existsSync(own) ? own : null
  }
  if (named === null || named === '') return null
  const { version } = manifest.parse(JSON.parse(readFileSync(join(electron, 'package.json'), 'utf8')))
  if (textOf(join(electron, 'dist', 'version'))?.replace(/^v/, '') !== version) return null
  const program = join(electron, 'dist', named)
  return existsSync(program) ? program : null
}
