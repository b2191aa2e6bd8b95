/** npm start as a person meets it: the built program in its own process. Small programs, named by what they do, stand in for Electron. */
import { spawn, spawnSync } from 'node:child_process'
import { chmodSync, chownSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { openClient } from '../../bench-tools/contract-client'
import { root } from '../../bench-tools/running-app'

const later = closeAfterEach()
const isRoot = process.getuid?.() === 0
const nobody = 65534
const onLinux = process.platform === 'linux'
/** An ordinary account, where the tests themselves are root. */
const asOrdinary = isRoot ? ['setpriv', `--reuid=${nobody}`, `--regid=${nobody}`, '--clear-groups'] : []
const ordinaryIsHere = onLinux && (!isRoot || spawnSync('setpriv', ['--version']).status === 0)

const folderFor = (): string => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-start-'))
  later(() => { rmSync(folder, { recursive: true, force: true, maxRetries: 5 }) })
  if (isRoot) chownSync(folder, nobody, nobody)
  return folder
}

/** A runtime whose program is this script. */
const runtimeThat = (body: string): string => {
  const folder = folderFor()
  writeFileSync(join(folder, 'electron'), `#!${process.execPath}\n${body}\n`)
  chmodSync(join(folder, 'electron'), 0o755)
  chmodSync(folder, 0o755)
  return folder
}
const line = (report: object): string => `process.stdout.write(${JSON.stringify(`probewright-desktop ${JSON.stringify(report)}\n`)});`

type Said = { out: () => string; wrong: () => string; code: Promise<number | null>; address: () => Promise<string>; end: () => void }

const start = (args: string[], env: Record<string, string>, account: string[] = []): Said => {
  const words = [...account, process.execPath, join(root, 'out/main/start.js'), '--data', folderFor(), ...args]
  // No opener on the path: a test opens no browser on the machine it runs on.
  const own = { HOME: folderFor(), PATH: account.length > 0 ? '/usr/bin:/bin' : folderFor(), ...env }
  const child = spawn(words[0] ?? '', words.slice(1), { cwd: root, stdio: ['ignore', 'pipe', 'pipe'], env: own })
  let [out, wrong] = ['', '']
  child.stdout.on('data', (chunk: Buffer) => { out += chunk.toString() })
  child.stderr.on('data', (chunk: Buffer) => { wrong += chunk.toString() })
  const code = new Promise<number | null>((resolve) => { child.once('close', resolve) })
  const end = (): void => { child.kill('SIGTERM') }
  later(async () => { end(); await code })
  return {
    code, end, out: () => out, wrong: () => wrong,
    address: async () => {
      await expect.poll(() => out, { timeout: 20_000 }).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/#\S+$/m)
      return /^http:\/\/127\.0\.0\.1:\d+\/#\S+$/m.exec(out)?.[0] ?? ''
    },
  }
}

describe.skipIf(!onLinux)('npm start without a display', () => {
  it('says why in one line, and serves the browser at once', async () => {
    const app = start([], {})
    const client = await openClient(await app.address())
    later(() => { client.close() })
    expect((await client.ask('hello', {})).bench).toBeNull()
    expect(app.out()).toMatch(/^In your browser, because [^\n]+\.\nProbewright is at\nhttp:/)
    // No window was waited for.
    expect(app.out()).not.toMatch(/did not open|ended before/)
  })

  it('says no word of the desktop where a browser was asked for', async () => {
    const app = start(['--host', 'browser'], {})
    await app.address()
    expect(app.out()).toMatch(/^Probewright is at\n/)
  })

  it('ends with the reason where the desktop is forced, and fetches nothing for a window that cannot open', async () => {
    const app = start(['--host', 'desktop', '--fetch'], {})
    expect(await app.code).toBe(1)
    expect([app.out(), app.wrong()]).toEqual(['', expect.stringMatching(/^The desktop cannot open: [^\n]+\n$/)])
  })
})

describe.skipIf(!ordinaryIsHere)('npm start with a display and a runtime', () => {
  const desktop = (body: string, args: string[] = []): Said =>
    start(args, { DISPLAY: ':99', ELECTRON_OVERRIDE_DIST_PATH: runtimeThat(body) }, asOrdinary)

  it('opens the desktop on the data folder, serves no browser, and ends with it', async () => {
    const program = `console.log(JSON.stringify(process.argv.slice(2))); ${line({ kind: 'ready' })} setTimeout(() => process.exit(5), 300)`
    const app = desktop(program, ['--practice', 'auto', '--seed', '7', '--fault', 'R4:open'])
    expect(await app.code).toBe(5)
    const [handed = '', ...more] = app.out().trim().split('\n')
    const [folder, ...rest] = JSON.parse(handed) as string[]
    expect(folder?.replace(/\/$/, '')).toBe(root.replace(/\/$/, ''))
    const data = expect.stringMatching(/^--data=.*probewright-start-/)
    expect(rest).toEqual(['--from-start', data, '--practice=auto', '--seed=7', '--fault=R4:open'])
    expect(more).toEqual([])
  })

  it('ends the desktop when it is told to end', async () => {
    const waits = "process.on('SIGTERM', () => { console.log('ended'); process.exit(0) }); setInterval(() => 0, 1000);"
    const app = desktop(`${waits} ${line({ kind: 'ready' })} console.log('open')`)
    await expect.poll(() => app.out(), { timeout: 20_000 }).toMatch(/open/)
    app.end()
    expect(await app.code).toBe(0)
    expect(app.out()).toMatch(/ended/)
  })

  it('says so when it is open already', async () => {
    const app = desktop(line({ kind: 'already-open' }))
    expect(await app.code).toBe(0)
    expect(app.out()).toBe('Probewright is already open on this data folder; its window was brought to the front.\n')
  })

  it('ends with the desktop’s own words when the data folder is refused: another host would be refused too', async () => {
    const app = desktop(line({ kind: 'refused', words: 'The data folder is in use.' }))
    expect([await app.code, app.out(), app.wrong()]).toEqual([1, '', 'The data folder is in use.\n'])
  })

  it('falls back to the browser at once when the desktop crashes, and after 10 s when it never opens', async () => {
    const began = performance.now()
    const [crashed, silent] = [desktop('process.exit(9)'), desktop('setInterval(() => 0, 1000)')]
    await crashed.address()
    expect(silent.out()).toBe('')
    expect(crashed.out()).toMatch(/^In your browser, because the desktop ended before it opened \(exit code 9\)\.\n/)
    const client = await openClient(await silent.address())
    later(() => { client.close() })
    expect(performance.now() - began).toBeGreaterThan(10_000)
    expect(silent.out()).toMatch(/^In your browser, because the desktop did not open within 10 s\.\n/)
    expect((await client.ask('hello', {})).bench).toBeNull()
  })

  it('does not fall back where the desktop is forced', async () => {
    const app = desktop('process.exit(9)', ['--host', 'desktop'])
    expect([await app.code, app.out()]).toEqual([1, ''])
    expect(app.wrong()).toMatch(/^The desktop cannot open: the desktop ended before it opened \(exit code 9\)\. Run npm start/)
  })
})
