/** Fetching the runtime. Small scripts, each named by what it does, stand in for electron's own install script; no network is used. */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { fetchRuntime } from '../../../src-main/start/fetch-runtime'

const later = closeAfterEach()
const limits = { withinMs: 10_000, stillMs: 5000, everyMs: 50 }

/** A temporary folder of the test's own: what stays behind in it was left by the fetch. */
const temporary = (): string => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-temporary-'))
  const before = process.env.TMPDIR
  process.env.TMPDIR = folder
  later(() => {
    if (before === undefined) delete process.env.TMPDIR
    else process.env.TMPDIR = before
    rmSync(folder, { recursive: true, force: true })
  })
  return folder
}

const packageWith = (script: string): string => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-package-'))
  later(() => { rmSync(folder, { recursive: true, force: true }) })
  mkdirSync(join(folder, 'dist'))
  writeFileSync(join(folder, 'install.js'), script)
  return folder
}
const drips = "setInterval(() => require('node:fs').appendFileSync(require('node:os').tmpdir() + '/a', 'x'), 20)"

const leftIn = (folder: string, but: string): string[] => readdirSync(folder).filter((name) => join(folder, name) !== but)

describe('the runtime is fetched', () => {
  it('with progress in megabytes and seconds, and nothing stays in the temporary folder', async () => {
    const own = temporary()
    const folder = packageWith(`
      const fs = require('node:fs'), os = require('node:os'), path = require('node:path')
      const zip = path.join(os.tmpdir(), 'arriving.zip')
      let megabytes = 0
      const timer = setInterval(() => {
        fs.appendFileSync(zip, Buffer.alloc(1e6))
        if (++megabytes < 4) return
        clearInterval(timer)
        fs.renameSync(zip, path.join(__dirname, 'dist', 'electron'))
        fs.writeFileSync(path.join(__dirname, 'path.txt'), 'electron')
      }, 120)`)
    const lines: string[] = []
    expect(await fetchRuntime(folder, (line) => lines.push(line), limits)).toEqual({ kind: 'fetched' })
    expect(lines.length).toBeGreaterThan(0)
    expect(lines.filter((line) => !/^Fetching the desktop’s runtime: [0-4] MB on disk after \d+ s …$/.test(line))).toEqual([])
    expect(lines.some((line) => / [1-4] MB /.test(line))).toBe(true)
    expect(existsSync(join(folder, 'path.txt'))).toBe(true)
    expect(leftIn(own, folder)).toEqual([])
  })

  it('with the settings of the electron package as they are', async () => {
    process.env.ELECTRON_MIRROR = 'a mirror of the shop'
    later(() => { delete process.env.ELECTRON_MIRROR })
    const folder = packageWith("process.exit(process.env.ELECTRON_MIRROR === 'a mirror of the shop' ? 0 : 1)")
    expect(await fetchRuntime(folder, () => undefined, limits)).toEqual({ kind: 'fetched' })
  })

  it('not from a network that is not there: it says so, and what to do instead', async () => {
    const own = temporary()
    const folder = packageWith("console.error('RequestError: getaddrinfo ENOTFOUND\\n    at somewhere'); process.exit(1)")
    const fetched = await fetchRuntime(folder, () => undefined, limits)
    if (fetched.kind !== 'failed') throw new Error('nothing was there to be fetched')
    expect(fetched.words).toMatch(/not be fetched: its server could not be reached from here \(RequestError: getaddrinfo ENOTFOUND\)\./)
    expect(fetched.words).toMatch(/Try again .*“npm start” serves the app to your browser/)
    expect(leftIn(own, folder)).toEqual([])
  })

  it.each([
    ['a server that says nothing', 'setInterval(() => 0, 1000)', { ...limits, stillMs: 600 }, /nothing arrived for 1 s/],
    ['one that drips for ever', drips, { ...limits, withinMs: 900 }, /not done after 1 s/],
  ] as const)('no longer than allowed from %s', async (_server, script, tight, words) => {
    const own = temporary()
    const folder = packageWith(script)
    const began = performance.now()
    expect(await fetchRuntime(folder, () => undefined, tight)).toEqual({ kind: 'failed', words: expect.stringMatching(words) })
    expect(performance.now() - began).toBeLessThan(6000)
    expect(leftIn(own, folder)).toEqual([])
  })
})
