/** The desktop in the real Electron: runs wherever its runtime is, and says why where it does not run. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { _electron, type ElectronApplication, type Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { root } from '../bench-tools/running-app'
import { electronPackage, findRuntime } from '../../src-main/start/electron-runtime'
import { noWindowHere } from '../../src-main/start/host-choice'

const runtime = findRuntime(electronPackage(root), process.env.ELECTRON_OVERRIDE_DIST_PATH)
const display = (process.env.DISPLAY ?? '') !== '' || (process.env.WAYLAND_DISPLAY ?? '') !== ''
const missing = runtime === null ? 'Electron’s runtime is not on this machine; “npm run desktop” fetches it'
  : noWindowHere({ platform: process.platform, root: process.getuid?.() === 0, display })
if (missing !== null) process.stdout.write(`Skipped: the smoke test in the real Electron, because ${missing}.\n`)

describe.skipIf(missing !== null)(`the desktop in the real Electron${missing === null ? '' : ` (skipped: ${missing})`}`, () => {
  let folder: string
  let app: ElectronApplication
  let page: Page
  const violations: string[] = []

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'probewright-smoke-'))
    app = await _electron.launch({ ...(runtime === null ? {} : { executablePath: runtime }), args: [root, `--data=${folder}`], cwd: root })
    page = await app.firstWindow()
    page.on('console', (message) => { if (message.type() === 'error') violations.push(message.text()) })
    page.on('pageerror', (error) => { violations.push(error.message) })
    await page.getByTestId('start-practice').waitFor()
  })
  afterAll(async () => {
    await app.close()
    rmSync(folder, { recursive: true, force: true })
  })

  it('shows its first screen from its own scheme, sandboxed', async () => {
    expect(page.url()).toBe('probewright://app/')
    expect(await page.evaluate(() => ['require', 'process', 'probewrightBridge'].map((name) => typeof Reflect.get(window, name))))
      .toEqual(['undefined', 'undefined', 'object'])
    expect(violations).toEqual([])
  })

  it('gets the wake lock and no other permission, and opens no window', async () => {
    expect(await page.evaluate(async () => {
      const lock = await navigator.wakeLock.request('screen')
      await lock.release()
      return [lock.released, window.open('https://example.org/'), (await navigator.permissions.query({ name: 'geolocation' })).state]
    })).toEqual([true, null, 'denied'])
    expect(app.windows()).toHaveLength(1)
  })

  it('stays on its page', async () => {
    await page.evaluate(() => { window.location.href = 'https://example.org/' })
    await page.waitForTimeout(300)
    expect(page.url()).toBe('probewright://app/')
  })

  it('plays a practice board, with pictures, and keeps the display on meanwhile', async () => {
    await page.getByTestId('start-practice').click()
    await page.getByTestId('prompt').waitFor()
    const board = page.locator('img[src^="/pictures/"]').first()
    await board.waitFor({ timeout: 60_000 })
    await expect.poll(() => board.evaluate((image: HTMLImageElement) => image.naturalWidth)).toBeGreaterThan(0)
    expect(await app.evaluate(({ powerSaveBlocker }) => [0, 1, 2, 3].some((id) => powerSaveBlocker.isStarted(id)))).toBe(true)
    expect(violations).toEqual([])
  })
})
