/** What the build made: which bundle may hold electron, and that all each bundle asks for is there when the app is installed. */
import { existsSync, readFileSync } from 'node:fs'
import { isBuiltin } from 'node:module'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { root } from '../bench-tools/running-app'
import { loadedBy } from './loaded-by'

const main = join(root, 'out/main')
const manifest = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { main: string; dependencies: Record<string, string> }

describe('the build', () => {
  it.each(['start.js', 'cli.js', 'worker.js'])('%s asks for electron nowhere in all it loads', (entry) => {
    const loaded = [...loadedBy(entry)]
    expect(loaded.filter((name) => /^electron/.test(name))).toEqual([])
    expect(loaded.length).toBeGreaterThan(2)
    // Nor by require, which is how a package would be asked for late.
    const own = loaded.filter((name) => name.startsWith('./'))
    expect(own.filter((file) => /require\(["']electron/.test(readFileSync(join(main, file), 'utf8')))).toEqual([])
  })

  it('desktop.js, which Electron is pointed to, asks for it', () => {
    expect(manifest.main).toBe('out/main/desktop.js')
    expect(existsSync(join(root, manifest.main))).toBe(true)
    expect([...loadedBy('desktop.js')]).toContain('electron')
  })

  it.each(['desktop.js', 'start.js', 'cli.js', 'worker.js'])('%s loads only what an installed app has', (entry) => {
    const packages = [...loadedBy(entry)].filter((name) => !name.startsWith('./') && !isBuiltin(name) && name !== 'electron')
      .map((name) => name.split('/').slice(0, name.startsWith('@') ? 2 : 1).join('/'))
    expect(packages.filter((name) => !Object.hasOwn(manifest.dependencies, name))).toEqual([])
    expect(packages).toContain('zod')
  })
})
