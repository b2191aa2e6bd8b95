/**
 * The built page in a real Chromium, joined to the built main process and preload: what Electron would carry between them is carried by
 * the test. The page comes out of the desktop's own scheme handler, under the desktop's own policy.
 */
import type { Page } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { chromiumIsHere, openBrowser } from '../bench-tools/real-browser'
import { mistValve, putBoard } from '../bench-tools/small-board'
import { openDesktop, type Desktop } from './open-desktop'
import { bridgeOf } from './stand-in/preload'

const later = closeAfterEach()
/** Chromium knows no scheme of ours; this address has the same rights (it counts as secure) and reaches no network. */
const address = 'http://localhost:9/'

const openPage = async (desktop: Desktop): Promise<{ page: Page; violations: string[] }> => {
  const browser = await openBrowser()
  later(() => browser.close())
  const { context, violations } = browser
  await context.route(`${address}**`, async (route) => {
    const answer = await desktop.world.serve?.answer(route.request().url().replace(address, 'probewright://app/'), route.request().method())
    if (answer === undefined) return route.abort()
    const body = Buffer.from(await answer.arrayBuffer())
    await route.fulfill({ status: answer.status, headers: Object.fromEntries(answer.headers), body })
  })
  const bridge = bridgeOf(desktop.window().webContents)
  await context.exposeBinding('carriedAsk', (_source, text: string) => bridge.ask(text))
  await context.addInitScript(() => {
    const heard = new Set<(text: string) => void>()
    Object.assign(window, {
      carriedTell: (text: string) => { for (const each of heard) each(text) },
      probewrightBridge: {
        ask: (text: string) => (window as unknown as { carriedAsk: (text: string) => Promise<string> }).carriedAsk(text),
        listen: (each: (text: string) => void) => { heard.add(each); return () => { heard.delete(each) } },
      },
    })
  })
  const page = await browser.page(address)
  later(bridge.listen((text) => {
    // While the page is loaded anew there is nobody to tell; it asks for everything when it is back.
    const tell = page.evaluate((told) => { (window as unknown as { carriedTell?: (text: string) => void }).carriedTell?.(told) }, text)
    tell.catch((error: Error) => {
      if (!/closed|destroyed|navigation/i.test(error.message)) violations.push(error.message)
    })
  }))
  return { page, violations }
}

describe.skipIf(!chromiumIsHere)('the page on the desktop', () => {
  it('opens without a token, shows the board’s picture, plays a run to its verdict, and breaks no rule of the policy', async () => {
    const desktop = await openDesktop(later, { prepare: (_world, dataFolder) => { putBoard(dataFolder, mistValve) } })
    const { page, violations } = await openPage(desktop)
    await page.getByTestId('start-practice').waitFor()
    expect(await page.evaluate(() => [location.hash, sessionStorage.length])).toEqual(['', 0])

    const bridge = bridgeOf(desktop.window().webContents)
    const input = { board: mistValve.id, seed: 7, faults: ['R1:open'] }
    await bridge.ask(JSON.stringify({ id: 1, command: 'start-practice', input }))
    await page.getByTestId('prompt').waitFor()
    await page.reload()
    await page.getByTestId('prompt').waitFor()
    // The board comes into sight once the leads are checked.
    const board = page.locator('img[src^="/pictures/"]').first()
    await board.waitFor({ timeout: 60_000 })
    await expect.poll(() => board.evaluate((image: HTMLImageElement) => image.naturalWidth), { timeout: 20_000 }).toBeGreaterThan(0)
    await page.getByTestId('run-verdict').waitFor({ timeout: 150_000 })
    expect(await page.getByTestId('run-verdict').getAttribute('data-verdict')).toBe('fail')
    expect(violations).toEqual([])
  })
})
