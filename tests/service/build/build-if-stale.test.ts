/** When the app is built again. The script is the real one; in the place of the build tool stands one that counts. */
import { spawnSync } from 'node:child_process'
import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync, utimesSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join, normalize } from 'node:path'
import { pathToFileURL } from 'node:url'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { root } from '../../bench-tools/running-app'

const script = 'src-main/build-if-stale.mjs'
const later = closeAfterEach()

const put = (folder: string, file: string, text: string): void => {
  mkdirSync(dirname(join(folder, file)), { recursive: true })
  writeFileSync(join(folder, file), text)
}

/** A tree with few of the folders; `builds` runs the script and says how often the tool was called so far. */
const openTree = (): { folder: string; builds: () => number } => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-built-'))
  later(() => { rmSync(folder, { recursive: true, force: true }) })
  put(folder, 'node_modules/electron-vite/bin/electron-vite.js', "require('node:fs').appendFileSync('calls', 'x'); process.exitCode = require('node:fs').existsSync('broken') ? 1 : 0")
  put(folder, 'src-core/run/state.ts', 'export const one = 1\n')
  put(folder, 'tests/core/touches/score.ts', 'export const two = 2\n')
  put(folder, 'tests/e2e/pictures.ts', 'export const three = 3\n')
  mkdirSync(join(folder, 'src-main'))
  copyFileSync(join(root, script), join(folder, script))
  return {
    folder,
    builds: () => {
      const { stderr } = spawnSync(process.execPath, [script], { cwd: folder, encoding: 'utf8' })
      expect(stderr).not.toMatch(/node:internal|Error:/)
      return existsSync(join(folder, 'calls')) ? readFileSync(join(folder, 'calls'), 'utf8').length : 0
    },
  }
}

/** Every file of ours that a bundle is made of: the entries, and what they import, one from the other. */
const bundled = (): string[] => {
  const config = readFileSync(join(root, 'electron.vite.config.ts'), 'utf8')
  const found = new Set<string>()
  const due = [...config.matchAll(/here\('([^']+\.ts)'\)/g), ['', 'src-renderer/main.tsx']].map(([, entry = '']) => entry)
  for (let file = due.pop(); file !== undefined; file = due.pop()) {
    if (found.has(file)) continue
    found.add(file)
    const imports = [...readFileSync(join(root, file), 'utf8').matchAll(/(?:from|import) '(\.[^']+)'|new URL\('(\.[^']+\.ts)'/g)]
    for (const [, from, url] of imports) {
      const path = normalize(join(dirname(file), from ?? url ?? ''))
      const here = ['', '.ts', '.tsx'].map((end) => `${path}${end}`).find((each) => /\.\w+$/.test(each) && existsSync(join(root, each)))
      if (here === undefined) throw new Error(`${file} imports ${path}, which is not there`)
      due.push(here)
    }
  }
  return [...found]
}

describe('the app is built again', () => {
  it('once, and not again while nothing changes; a file merely touched is no change', () => {
    const { folder, builds } = openTree()
    expect([builds(), builds()]).toEqual([1, 1])
    utimesSync(join(folder, 'src-core/run/state.ts'), new Date(), new Date())
    expect(builds()).toBe(1)
  })

  it.each<[string, (folder: string) => void]>([
    ['a file is written', (folder) => { put(folder, 'src-core/run/state.ts', 'export const one = 11\n') }],
    ['what only the figures use is written', (folder) => { put(folder, 'tests/core/touches/score.ts', 'export const two = 22\n') }],
    ['a file is added', (folder) => { put(folder, 'src-core/run/more.ts', '') }],
    ['a file is renamed', (folder) => { renameSync(join(folder, 'src-core/run/state.ts'), join(folder, 'src-core/run/status.ts')) }],
    ['a file is deleted', (folder) => { rmSync(join(folder, 'tests/e2e/pictures.ts')) }],
    ['a whole source folder is deleted', (folder) => { rmSync(join(folder, 'src-core'), { recursive: true }) }],
    ['an older file is put in its place', (folder) => {
      put(folder, 'src-core/run/state.ts', 'export const one = 0\n')
      utimesSync(join(folder, 'src-core/run/state.ts'), new Date(0), new Date(0))
    }],
  ])('when %s', (_what, change) => {
    const { folder, builds } = openTree()
    expect(builds()).toBe(1)
    change(folder)
    expect([builds(), builds()]).toEqual([2, 2])
  })

  it('after a build that failed', () => {
    const { folder, builds } = openTree()
    put(folder, 'broken', '')
    expect([builds(), builds()]).toEqual([1, 2])
    rmSync(join(folder, 'broken'))
    expect([builds(), builds()]).toEqual([3, 3])
  })

  it('for every file that is bundled', async () => {
    const { sources } = await import(pathToFileURL(join(root, script)).href) as { sources: string[] }
    const files = bundled()
    expect(files.length).toBeGreaterThan(100)
    expect(files).toContain('tests/core/touches/score.ts')
    expect(files.filter((file) => !sources.some((source) => file === source || file.startsWith(`${source}/`)))).toEqual([])
  })
})
