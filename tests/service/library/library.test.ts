/** The library while the app runs: a changed file is read by the worker, and pictures no longer in use are let go. */
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { root } from '../../bench-tools/running-app'
import { openAssets, type Assets } from '../../../src-main/service/assets'
import { openLibrary, type Library } from '../../../src-main/service/library'
import { createThread, type Thread } from '../../../src-main/service/threads'

const worker = join(root, 'out/main/worker.js')
let folder: string
let assets: Assets
let library: Library | null
let thread: Thread | null
let reports: unknown[]
let changes: number
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'probewright-library-'))
  mkdirSync(join(folder, 'page'))
  cpSync(join(root, 'fixtures/boards/vent-driver-node'), join(folder, 'data/boards/own'), { recursive: true })
  assets = openAssets(join(folder, 'page'))
  reports = []
  changes = 0
  library = null
  thread = null
})
afterEach(() => {
  library?.close()
  thread?.close()
  rmSync(folder, { recursive: true, force: true })
})

const open = (workerFile: string): Library => {
  const report = (error: unknown): void => { reports.push(error) }
  thread = createThread(workerFile, report)
  library = openLibrary({ builtIn: join(folder, 'no-built-in'), data: join(folder, 'data') }, thread, assets, () => { changes += 1 }, report)
  return library
}
const picture = (text: string): string => `<svg xmlns="http://www.w3.org/2000/svg"><!-- ${text} --></svg>`
const savePicture = (text: string): void => { writeFileSync(join(folder, 'data/boards/own/top.svg'), picture(text)) }
const shown = (): string => library?.contents().boards[0]?.pictures[0] ?? ''
const saved = async (text: string): Promise<string> => {
  const before = shown()
  savePicture(text)
  await expect.poll(shown, { timeout: 20_000 }).not.toBe(before)
  return shown()
}

describe('the library', () => {
  it('serves the pictures of this library and of the one before it, and forgets older ones', async () => {
    savePicture('one')
    open(worker)
    const one = shown()
    const two = await saved('two')
    expect(assets.picture(two)?.bytes.toString()).toBe(picture('two'))
    expect(assets.picture(one)?.bytes.toString()).toBe(picture('one'))
    const three = await saved('three')
    expect([three, two, one].map((path) => assets.picture(path)?.bytes.toString() ?? null)).toEqual([picture('three'), picture('two'), null])
    // Handed over, not cloned with the pool it lay in: the memory is the picture's alone.
    expect(assets.picture(three)?.bytes.buffer.byteLength).toBe(picture('three').length)
    expect(reports).toEqual([])
  })

  it.each(['process.exit(3)', 'throw new Error("out of order")'])('a worker that died (%s) is started again at the next change', async (death) => {
    const died = join(folder, 'died')
    const fragile = join(folder, 'fragile.mjs')
    writeFileSync(fragile, `
      import { existsSync, writeFileSync } from 'node:fs'
      import { parentPort } from 'node:worker_threads'
      if (!existsSync(${JSON.stringify(died)})) parentPort.once('message', () => { writeFileSync(${JSON.stringify(died)}, ''); ${death} })
      await import(${JSON.stringify(worker)})`)
    open(fragile)
    savePicture('lost')
    await expect.poll(() => existsSync(died) && reports.length, { timeout: 20_000 }).toBe(1)
    expect(String(reports[0])).toMatch(/(worker ended with 3|out of order).*Save the changed file again/)
    await saved('found')
    expect(assets.picture(shown())?.bytes.toString()).toBe(picture('found'))
    expect(reports).toHaveLength(1)
    expect(changes).toBe(1)
  })

  it('a worker that is ended with the app is no fault', async () => {
    open(worker)
    await saved('any')
    library?.close()
    thread?.close()
    await new Promise((resolve) => { setTimeout(resolve, 200) })
    expect(reports).toEqual([])
  })

  it('starts with a file in place of its folder of meters, and lists that', () => {
    writeFileSync(join(folder, 'data/meters'), readFileSync(join(root, 'fixtures/meters/line-meter-a.json')))
    expect(open(worker).contents().problems).toMatchObject([{ file: join(folder, 'data/meters'), message: expect.stringMatching(/must be a folder/) as string }])
    expect(shown()).not.toBe('')
  })
})
