/** Where the runtime is looked for: in folders laid out as electron's own install script leaves them (read from it, version 45.4.1). */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { root } from '../../bench-tools/running-app'
import { electronPackage, findRuntime } from '../../../src-main/start/electron-runtime'

const later = closeAfterEach()

/** A folder with the files named; contents by name. */
const laidOut = (files: Record<string, string>): string => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-runtime-'))
  later(() => { rmSync(folder, { recursive: true, force: true }) })
  for (const [file, text] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, file)), { recursive: true })
    writeFileSync(join(folder, file), text)
  }
  return folder
}
const whole = { 'package.json': '{"version":"45.4.1"}', 'path.txt': 'electron', 'dist/version': '45.4.1', 'dist/electron': '' }

describe('the desktop’s runtime', () => {
  it('is found where the install script says it put it', () => {
    const folder = laidOut(whole)
    expect(findRuntime(folder, undefined)).toBe(join(folder, 'dist/electron'))
    const marked = laidOut({ ...whole, 'dist/version': 'v45.4.1\n' })
    expect(findRuntime(marked, '')).toBe(join(marked, 'dist/electron'))
  })

  it.each<[string, Record<string, string>]>([
    ['nothing was fetched', { 'package.json': whole['package.json'] }],
    ['the fetch was stopped while unpacking', { 'package.json': whole['package.json'], 'dist/version': '45.4.1', 'dist/electron': '' }],
    ['it is another version’s', { ...whole, 'dist/version': '44.0.0' }],
    ['its program is gone', { 'package.json': whole['package.json'], 'path.txt': 'electron', 'dist/version': '45.4.1' }],
    ['its path is empty', { ...whole, 'path.txt': '\n' }],
  ])('is not there when %s', (_why, files) => {
    expect(findRuntime(laidOut(files), undefined)).toBeNull()
  })

  it('is the one ELECTRON_OVERRIDE_DIST_PATH names, if it is there', () => {
    const own = laidOut({ electron: '' })
    const bare = laidOut({ 'package.json': whole['package.json'] })
    expect(findRuntime(bare, own)).toBe(join(own, 'electron'))
    expect(findRuntime(laidOut(whole), join(own, 'nowhere'))).toBeNull()
  })

  it('is not there without the package, as in an installed app', () => {
    expect(findRuntime(null, undefined)).toBeNull()
    expect(electronPackage(laidOut({}))).toBeNull()
  })

  it('belongs to the package in this repository, also from a folder below', () => {
    expect(electronPackage(root)).toBe(join(root, 'node_modules/electron'))
    expect(electronPackage(join(root, 'out/main'))).toBe(join(root, 'node_modules/electron'))
    // What is read is what the script writes: should a newer one name other files, this test says so.
    expect(readFileSync(join(root, 'node_modules/electron/install.js'), 'utf8')).toMatch(/'dist', 'version'[\s\S]*'path\.txt'/)
  })
})
