/**
 * Packaging, as far as it can be checked without Electron's runtime: electron-builder itself judges the configuration and packs the app,
 * around an empty folder that stands in for the runtime; what it packed is then unpacked and run by Node.
 */
import { spawn, spawnSync } from 'node:child_process'
import { chmodSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openClient } from '../bench-tools/contract-client'
import { sealedRecord, shortened, sourcesMade } from '../bench-tools/made-records'
import { root } from '../bench-tools/running-app'
import { recordOfRun } from '../../src-core/record/from-run'
import { fileText } from '../../src-core/record/seal'
import { printRecords } from '../../src-main/service/record/print-records'
import { loadedBy } from './loaded-by'

type Targets = { target: string[] }
type Configuration = {
  files: string[]; asarUnpack: string[]; icon: string; directories: { buildResources: string }
  win: Targets; mac: Targets; linux: Targets; npmRebuild: boolean; nodeGypRebuild: boolean
}
type Manifest = { build: Configuration; devDependencies: Record<string, string> }
const manifest = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as Manifest
const { build } = manifest
// Both are CommonJS without types of their own for what is asked here.
const ask = createRequire(join(root, 'node_modules/electron-builder/package.json'))
const { validateConfiguration } = ask('app-builder-lib/out/util/config/config') as {
  validateConfiguration: (config: object, logger: { isEnabled: boolean }) => Promise<void>
}
const asar = createRequire(join(root, 'node_modules/app-builder-lib/package.json'))('@electron/asar') as {
  listPackage: (file: string, options: { isPack: boolean }) => string[]
  extractAll: (file: string, into: string) => void
}

const later = closeAfterEach()

describe('the packaging configuration', () => {
  it('is what electron-builder’s own schema asks for; a slip in it would be refused', async () => {
    const judged = (change: object): Promise<void> => validateConfiguration({ ...structuredClone(build), ...change }, { isEnabled: false })
    await judged({})
    await expect(judged({ asarUnpak: [] })).rejects.toThrow(/asarUnpak/)
    await expect(judged({ linux: { targt: ['AppImage'] } })).rejects.toThrow(/linux/)
    await expect(judged({ electronFuses: { runAsNodes: false } })).rejects.toThrow(/electronFuses/)
  })

  it('is for Windows, macOS and Linux, builds no native code, and pins the runtime it packs', () => {
    expect([build.win.target, build.mac.target, build.linux.target]).toEqual([['nsis'], ['dmg'], ['AppImage', 'tar.gz']])
    expect([build.npmRebuild, build.nodeGypRebuild]).toEqual([false, false])
    expect(manifest.devDependencies.electron).toMatch(/^\d+\.\d+\.\d+$/)
  })

  it('names files that are there, and an icon large enough for every system', () => {
    const named = [...build.files, ...build.asarUnpack].map((pattern) => pattern.replace(/^!/, '').replace(/\/\*\*$/, ''))
    expect(named.filter((path) => !existsSync(join(root, path)))).toEqual([])
    const icon = readFileSync(join(root, build.directories.buildResources, build.icon))
    // PNG (W3C, clause 11.2.1 IHDR): width and height are the first two words of the first chunk.
    expect([icon.readUInt32BE(16), icon.readUInt32BE(20)]).toEqual([1024, 1024])
  })
})

describe.skipIf(process.platform !== 'linux')('the packed app', () => {
  let folder: string
  let app: string
  let unpacked: string
  let extracted: string

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'probewright-packed-'))
    const runtime = join(folder, 'stand-in-runtime')
    mkdirSync(join(runtime, 'resources'), { recursive: true })
    mkdirSync(join(runtime, 'locales'))
    for (const file of ['electron', 'version', 'LICENSE', 'LICENSES.chromium.html']) writeFileSync(join(runtime, file), '')
    chmodSync(join(runtime, 'electron'), 0o755)
    // Fuses are flipped in the runtime's program, which is not here.
    const config = { electronDist: runtime, electronFuses: null, directories: { output: join(folder, 'out') } }
    const settings = JSON.stringify({ projectDir: root, publish: 'never', config })
    const packing = spawnSync(process.execPath, ['--input-type=commonjs', '-e', `
      const { build, Platform } = require(${JSON.stringify(join(root, 'node_modules/electron-builder'))})
      build({ ...${settings}, targets: Platform.LINUX.createTarget('dir') })
        .catch((error) => { console.error(error.message); process.exit(1) })
    `], { cwd: root, encoding: 'utf8' })
    if (packing.status !== 0) throw new Error(`${packing.stdout}${packing.stderr}`)
    app = join(folder, 'out/linux-unpacked/resources/app.asar')
    unpacked = `${app}.unpacked`
    extracted = join(folder, 'extracted')
    asar.extractAll(app, extracted)
  }, 120_000)
  afterAll(() => { rmSync(folder, { recursive: true, force: true }) })

  it('holds the entry, the preload, the page, the sample boards, the icon, and no tests or sources', () => {
    const files = asar.listPackage(app, { isPack: false }).map((file) => file.replaceAll('\\', '/'))
    expect(files).toEqual(expect.arrayContaining([
      '/package.json', '/LICENSE', '/out/main/desktop.js', '/out/main/worker.js', '/out/main/pages-worker.js', '/out/preload/preload.cjs', '/out/renderer/index.html',
      '/src-main/desktop/icon.png', '/fixtures/boards/vent-driver-node/board.json', '/fixtures/meters/line-meter-a.json', '/fixtures/schemas/meter-description.json',
    ]))
    const own = files.filter((file) => !file.startsWith('/node_modules'))
    const notForUsers = /^\/(tests|src-core|src-renderer|fixtures\/(streams|touches|pictures))|\.tsx?$|\.env|sqlite$/
    expect(own.filter((file) => notForUsers.test(file))).toEqual([])
    expect(own).not.toContain('/out/main/bench.js')
    expect(existsSync(join(folder, 'out/linux-unpacked/probewright'))).toBe(true)
  })

  it('has every native binary and all the worker reads beside the archive', () => {
    const chunks = [...loadedBy('worker.js'), ...loadedBy('pages-worker.js')].filter((name) => name.startsWith('./'))
    expect(chunks.filter((name) => !existsSync(join(unpacked, 'out/main', name)))).toEqual([])
    const binaries = asar.listPackage(app, { isPack: false }).filter((file) => file.endsWith('.node'))
    expect(binaries.length).toBeGreaterThan(0)
    expect(binaries.filter((file) => !existsSync(join(unpacked, file)))).toEqual([])
    expect(existsSync(join(unpacked, 'node_modules/@photostructure/sqlite/prebuilds'))).toBe(true)
  })

  it('has a worker that needs nothing from inside the archive: plain Node, which cannot see into one, runs it', async () => {
    const worker = new Worker(join(unpacked, 'out/main/worker.js'))
    later(() => worker.terminate())
    const read = new Promise<{ answer: { boards: unknown[]; problems: unknown[] } }>((resolve, reject) => {
      worker.once('message', resolve)
      worker.once('error', reject)
    })
    worker.postMessage({ work: 'read-library', of: { builtIn: join(unpacked, 'fixtures'), data: join(folder, 'no-data') } })
    const { answer: { boards, problems } } = await read
    expect([boards.length > 0, problems]).toEqual([true, []])
  })

  it('makes the PDF of a record in a worker that needs nothing from inside the archive either, with two faces of its typeface and no more', async () => {
    const fonts = asar.listPackage(app, { isPack: false }).filter((file) => file.endsWith('.ttf'))
    expect(fonts.map((file) => file.split('/').at(-1))).toEqual(['Inter_400Regular.ttf', 'Inter_600SemiBold.ttf'])
    const worker = new Worker(join(unpacked, 'out/main/pages-worker.js'))
    later(() => worker.terminate())
    const made = new Promise<{ bytes: Uint8Array }>((resolve, reject) => {
      worker.once('message', resolve)
      worker.once('error', reject)
    })
    const file = sealedRecord(recordOfRun(sourcesMade({ of: shortened(2) })))
    const wish = { text: fileText(file), paper: 'a4', budgets: false, picturesIn: [] } as const
    worker.postMessage({ ...wish, as: 'pdf' })
    expect(Buffer.from((await made).bytes).equals(await printRecords({ ...wish, as: 'pdf', picturesIn: [] }))).toBe(true)
  })

  it('lacks nothing: its files alone, run by Node, serve the app and read the sample boards', async () => {
    const data = mkdtempSync(join(tmpdir(), 'probewright-data-'))
    later(() => { rmSync(data, { recursive: true, force: true }) })
    const words = [join(extracted, 'out/main/start.js'), '--no-open', '--data', data]
    const child = spawn(process.execPath, words, { cwd: extracted, stdio: ['ignore', 'pipe', 'pipe'] })
    const ended = new Promise((resolve) => { child.once('close', resolve) })
    later(async () => { child.kill('SIGTERM'); await ended })
    let said = ''
    for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk: Buffer) => { said += chunk.toString() })
    await expect.poll(() => said, { timeout: 20_000 }).toMatch(/^http:\S+$/m)
    const client = await openClient(said.trim())
    later(() => { client.close() })
    const { library, version } = await client.ask('hello', {})
    expect([library.boards.length > 0, library.problems, version]).toEqual([true, [], '0.1.0'])
    expect((await client.ask('list-ports', {})).ports).toBeDefined()
  }, 30_000)
})
